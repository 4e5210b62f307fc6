package prop

import (
	"fmt"
	"strings"
)

// Answers are the input for a first prop file. Empty ones get a default, so zero
// Answers give a file too.
type Answers struct {
	Name     string      // "Porthole"
	Chip     string      // as printed on the chip; WS2812B unless given
	Density  string      // LEDs, "60 per metre"; the chip's usual one unless given
	Runs     []AnswerRun // in wiring order; one of 50 pixels unless given
	Amps     string      // of the supply, "10 A"
	Host     string      // name, address or "multicast"; this computer unless given
	Universe int
	Slot     int  // from 1
	Inches   bool // examples in the comments use inches
}

// An AnswerRun is one run, given by pixel count, length or diameter. Quantities are
// written as in the file, "93 in".
type AnswerRun struct {
	Name     string
	Shape    ShapeKind
	Pixels   int
	Length   string
	Diameter string
	Points   int // of a star
}

// ThisComputer is the default host of a new prop file: packets to it stay on this
// computer.
const ThisComputer = "127.0.0.1"

// Template writes a commented prop file from the answers. It reads back
// without problems unless an answer is at fault; Parse says which.
func Template(a Answers) string {
	a = a.withDefaults()
	c, _ := ChipByName(a.Chip)
	var b strings.Builder
	put := func(format string, v ...any) { fmt.Fprintf(&b, format+"\n", v...) }

	put("# A prop file of ringout. Every quantity has its unit: \"93 in\", \"2.36 m\",")
	put("# \"18 AWG\", \"0.75 mm2\". Pixels, slots and universes count from 1. Lines that")
	put("# begin with # are notes; take the # away where one offers a key you need.")
	put("")
	put("name = %s", inQuotes(a.Name))
	put("# note = \"built for the lantern walk\"")
	a.putStrip(put, c)
	put("")
	put("[supply]")
	put("# The box that feeds the prop, as on its plate. Let licensed people do the mains")
	put("# side, and follow your local code.")
	if c.Volts > 0 {
		put("volts      = %s", inQuotes(decimals(c.Volts, 2)+" V"))
	}
	put("amps       = %s", inQuotes(a.Amps))
	put("continuous = \"80 %%\" # what it is asked to give for hours on end")
	a.putAddress(put)
	put("")
	put("# One [[run]] for each piece of strip, in the order the data goes.")
	for _, r := range a.Runs {
		a.putRun(put, r)
	}
	a.putRest(put)
	return b.String()
}

// withDefaults replaces empty answers with defaults. 50 pixels of WS2812B take 3 A all white
// (three channels of 20 mA, the chip's row), under 80 % of 5 A.
func (a Answers) withDefaults() Answers {
	if strings.TrimSpace(a.Name) == "" {
		a.Name = "New prop"
	}
	if a.Chip == "" {
		a.Chip = "WS2812B"
	}
	if len(a.Runs) == 0 {
		a.Runs = []AnswerRun{{Name: "strip", Pixels: 50}}
	}
	if a.Amps == "" {
		a.Amps = "5 A"
	}
	if a.Host == "" {
		a.Host = ThisComputer
	}
	a.Universe, a.Slot = max(a.Universe, 1), max(a.Slot, 1)
	return a
}

// inUnits returns the example in the units of the file.
func (a Answers) inUnits(inches, metric string) string {
	if a.Inches {
		return inches
	}
	return metric
}

type putFunc func(format string, v ...any)

// putStrip writes [strip], with the chip table's figures as comments.
func (a Answers) putStrip(put putFunc, c Chip) {
	put("")
	put("[strip]")
	put("chip    = %s", inQuotes(a.Chip))
	switch {
	case a.Density != "":
		put("density = %s # LEDs, not pixels", inQuotes(a.Density))
	case c.LightsPerMetre > 0:
		put("density = \"%s per metre\" # LEDs, not pixels", decimals(c.LightsPerMetre, 2))
	}
	put("# group   = %d       # LEDs that one pixel drives: 3 on much 12 V strip", max(c.LightsPerPixel, 1))
	if c.Order != "" {
		put("# order   = %s   # of colours on the wire; the check-out finds out", inQuotes(string(c.Order)))
		put("# idle    = %s  # current of a dark pixel", inQuotes(decimals(c.IdleAmps*1000, 2)+" mA"))
		put("# full    = %s # current of one colour at full; a meter knows better", inQuotes(decimals(c.ChannelAmps*1000, 2)+" mA"))
	}
	put("# rail    = \"%s ohm/m\" # resistance of one supply rail of the strip", decimals(DefaultRailOhms, 3))
	put("# reel    = %s     # strip on one reel, for the cutting plan", inQuotes(a.inUnits("16 ft", "5 m")))
	put("# coil    = %s    # tube on one coil, likewise", inQuotes(a.inUnits("25 ft", "10 m")))
	put("# lead_wire = \"%d AWG\"", DefaultLeadWire.AWG)
}

// putAddress writes [address], with the standard's defaults for the rest: priority 100
// (ANSI E1.31-2018 6.2.3), no synchronization (6.2.4).
func (a Answers) putAddress(put putFunc) {
	put("")
	put("[address]")
	if a.Host == ThisComputer {
		put("# The host is this computer until you write the controller's name or address,")
		put("# or \"multicast\", which sends to the universe's group on the whole network.")
		put("host     = %s", inQuotes(a.Host))
	} else {
		put("host     = %s # a name, an address or \"multicast\"", inQuotes(a.Host))
	}
	put("universe = %d", a.Universe)
	put("slot     = %d # of the first pixel, 1 to 512", a.Slot)
	put("packing  = \"whole\" # a pixel stays in one universe; \"straddle\" uses all 512 slots")
	put("priority = 100 # 0 to 200")
	put("# interface = \"eth0\" # the network to send on, when there are several")
	put("# sync      = 0      # synchronization address; 0 is none")
}

func (a Answers) putRun(put putFunc, r AnswerRun) {
	put("")
	put("[[run]]")
	if r.Name != "" {
		put("name     = %s", inQuotes(r.Name))
	}
	if r.Pixels > 0 {
		put("pixels   = %d", r.Pixels)
	}
	if r.Length != "" {
		put("length   = %s # of tube; the pixels that fit whole are counted", inQuotes(r.Length))
	}
	if r.Shape != "" {
		put("shape    = %s # line, ring, star or outline", inQuotes(string(r.Shape)))
	}
	if r.Diameter != "" {
		put("diameter = %s", inQuotes(r.Diameter))
	}
	if r.Points > 0 {
		put("points   = %d", r.Points)
	}
	switch r.Shape {
	case Ring, Star:
		put("start    = \"0 deg\" # where data enters, clockwise from the top, seen from the lit face")
		put("travel   = \"clockwise\" # or \"counter-clockwise\"")
	default:
		put("travel   = \"forward\" # or \"backward\"")
	}
	lead := inQuotes(a.inUnits("12 in", "30 cm"))
	put("lead_in  = %s # wire before and after it; 10 to 12 in is usual", lead)
	put("lead_out = %s", lead)
}

// putRest writes one feed, since nothing lights without one, and a part as a comment.
func (a Answers) putRest(put putFunc) {
	put("")
	put("# Where supply wires enter. Fuse each one at the supply.")
	put("[[feed]]")
	put("name   = \"head\"")
	put("at     = \"start\" # or a pixel number, \"end\", \"start of NAME\", \"end of NAME\"")
	put("length = %s # one way", inQuotes(a.inUnits("5 ft", "1.5 m")))
	put("wire   = %s # or %s", inQuotes(a.inUnits("18 AWG", "0.75 mm2")), inQuotes(a.inUnits("0.75 mm2", "18 AWG")))
	put("# fuse   = \"5 A\"")
	put("")
	put("# Pixels that belong together, such as a word of a sign, or a hole left empty.")
	put("# [[part]]")
	put("# name  = \"left half\"")
	put("# first = 1")
	put("# last  = 25")
	put("# empty = false")
}

// inQuotes is text as a TOML string; invalid UTF-8 is replaced.
func inQuotes(s string) string {
	q, err := quoted(strings.ToValidUTF8(s, "?"))
	if err != nil {
		return `""`
	}
	return q
}
