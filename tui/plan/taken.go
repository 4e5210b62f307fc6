package plan

import (
	"fmt"
	"strconv"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/protocol"
)

// taken is the default of a figure that the file does not give; empty for none.
func taken(p *prop.Prop, w prop.Where) string {
	switch w.Table {
	case "strip":
		return takenStrip(p, w.Key)
	case "supply":
		return map[string]string{"volts": words.Given(p.Supply.Volts, "V"), "continuous": words.Given(100*p.Supply.Continuous, "%"),
			"temperature": "20 C"}[w.Key]
	case "address":
		return map[string]string{"port": strconv.Itoa(protocol.Port), "slot": "1", "packing": "whole", "priority": "100", // ANSI E1.31-2018 9.1.1, 6.2.3
			"sync": "none", "interface": "any"}[w.Key]
	case "run":
		return takenRun(p, w.Index, w.Key)
	case "feed":
		return map[string]string{"name": power.FeedName(p, w.Index), "fuse": "none"}[w.Key]
	case "part":
		return takenPart(p, w.Index, w.Key)
	}
	return ""
}

func takenStrip(p *prop.Prop, key string) string {
	c := p.Chip
	switch key {
	case "density":
		if c.LightsPerMetre == 0 {
			return "not on strip"
		}
		return prop.FormatDensity(c.LightsPerMetre, p.Inches)
	case "group":
		return strconv.Itoa(max(1, c.LightsPerPixel))
	case "order":
		return string(c.Order)
	case "volts":
		return words.Given(c.Volts, "V")
	case "lowest":
		return words.Given(c.MinVolts, "V")
	case "idle":
		return words.Given(1000*c.IdleAmps, "mA")
	case "full":
		return words.Given(1000*c.ChannelAmps, "mA")
	case "rail":
		return words.Given(prop.DefaultRailOhms, "ohm/m")
	case "lead_wire":
		return prop.DefaultLeadWire.String()
	}
	return ""
}

func takenRun(p *prop.Prop, i int, key string) string {
	r := p.Runs[i]
	switch key {
	case "name":
		return r.Name
	case "pixels":
		return fmt.Sprintf("%d fit", r.Pixels)
	case "length":
		return prop.FormatLength(p.Length(i), p.Inches)
	case "shape":
		return string(r.Shape.Kind)
	case "travel":
		return r.Travel()
	case "lead_in", "lead_out", "joint":
		return "none"
	case "closed", "apart":
		return "no"
	case "start", "angle":
		return "0 deg"
	}
	return ""
}

func takenPart(p *prop.Prop, i int, key string) string {
	t := p.Parts[i]
	switch key {
	case "name":
		return t.Name
	case "empty":
		return "no"
	case "first":
		return strconv.Itoa(t.First + 1)
	case "last":
		return strconv.Itoa(t.Last + 1)
	}
	return ""
}
