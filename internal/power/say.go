package power

import (
	"errors"
	"fmt"
	"strings"

	"example.org/ringout/internal/prop"
)

func errLevel(level float64) error {
	return fmt.Errorf("level %g does not exist: give 0 to 1 (0 to 100 %%)", level)
}

// ErrNoProp is given when there is nothing to plan.
var ErrNoProp = errors.New("there is no prop to plan: open or write a prop file first")

// placeWork bounds the search for extra feeds so that a screen stays live.
const placeWork = 1_500_000

// extra places more feeds on wire like that of the first feed.
func (r *Report) extra(p *prop.Prop, n *Network) (Placement, error) {
	if r.MinVolts <= 0 {
		return Placement{}, nil
	}
	amps := make([]float64, r.Pixels)
	for i, d := range draws(r.on, DrawOf(p.Chip, r.Colour, 1)) {
		amps[i] = d.Amps()
	}
	var handy []int // both sides of joints, and both ends
	for i, first := range r.starts {
		handy = append(handy, first, first+p.Runs[i].Pixels-1)
	}
	return PlaceFeeds(n, amps, n.Taps[0].Rails, r.MinVolts, placeWork, handy...)
}

func (r *Report) say(p *prop.Prop) {
	r.sayAssumed(p)
	r.saySupply(p)
	r.sayVoltage(p)
	for i, f := range r.Feeds {
		if i < len(p.Feeds) {
			r.Findings = append(r.Findings, f.Check.Sentences(capital(f.Name))...)
			if p.Supply.Amps < 2*f.Check.FuseAmps {
				r.find("%s: a supply of %g A that holds its current back on a short may keep the %g A fuse from opening; it should be well under half of the supply's rating.", capital(f.Name), p.Supply.Amps, f.Check.FuseAmps)
			}
			if share := f.Drop / p.Supply.Volts; share > 0.05 {
				r.find("%s loses %.2f V in its wires, %.0f %% of the supply; aim for under 5 %%: thicker or shorter wire, or less through it.", capital(f.Name), f.Drop, 100*share)
			}
		}
	}
	r.sayJoints(p)
	r.Cautions = Cautions()
}

func (r *Report) find(format string, args ...any) {
	r.Findings = append(r.Findings, fmt.Sprintf(format, args...))
}

func (r *Report) sayAssumed(p *prop.Prop) {
	add := func(format string, args ...any) { r.Assumed = append(r.Assumed, fmt.Sprintf(format, args...)) }
	add("%s: %.1f mA a channel at full and %.1f mA dark; chips of one name differ, so overwrite these with a reading.", p.Chip.Name, 1000*p.Chip.ChannelAmps, 1000*p.Chip.IdleAmps)
	if empty := r.Pixels - r.Lights; empty > 0 {
		add("%d pixels lie in empty parts: they are taken to stay dark and to draw their %.1f mA only.", empty, 1000*p.Chip.IdleAmps)
	}
	if ohms, given := RailOhms(p); !given {
		add("Each rail of the strip is taken at %g ohms a metre, as measured on one strip of 60 a metre.", ohms)
	}
	if len(p.Feeds) == 0 {
		add("No feed is in the file, so the supply is taken to sit right at the first pixel.")
	}
	if p.LeadWire == (prop.Wire{}) && len(p.Runs) > 1 {
		add("Leads between runs are taken as %s.", WireName(prop.DefaultLeadWire))
	}
	if p.WireCelsius == 0 {
		add("Wire is taken at 20 degrees Celsius; warm wire has 0.39 %% more resistance a degree.")
	}
	add("The supply is taken to hold its voltage at any load.")
}

func (r *Report) saySupply(p *prop.Prop) {
	s := r.Supply
	if s.Load == Bad {
		r.find("The prop draws %.1f A, but a supply of %g A should give no more than %.1f A for hours on end: at most level %.0f %% in this colour, or a larger supply.",
			s.Amps, s.Rated, s.Limit, floorPercent(r.SupplyLevel))
	}
	switch c := p.Chip; {
	case c.Volts > 0 && p.Supply.Volts > 1.1*c.Volts:
		r.find("The supply has %g V, but %s is made for %g V: that can destroy every pixel.", p.Supply.Volts, c.Name, c.Volts)
	case p.Supply.Volts < c.MinVolts:
		r.find("The supply has %g V, but %s needs %g V at least.", p.Supply.Volts, c.Name, c.MinVolts)
	}
}

func (r *Report) sayVoltage(p *prop.Prop) {
	c := r.Constant
	switch {
	case c.Dead > 0:
		r.find("%d pixels from %s on get no supply: plus is not carried over to them and no feed enters there.", c.Dead, PlaceName(p, c.DeadAt))
	case !r.Holds && c.Lowest > 0:
		r.find("The voltage falls to %.2f V at %s (about %.2f V as real strip sags); %s needs %.2f V. It holds up to level %.0f %% in this colour.",
			c.Lowest, PlaceName(p, c.At), r.Sagging.Volts(c.At), p.Chip.Name, r.MinVolts, floorPercent(r.HoldLevel))
	case !r.Holds:
		r.find("The copper cannot carry this load: %s would be left without voltage (about %.2f V as real strip sags). It holds up to level %.0f %% in this colour.",
			PlaceName(p, c.At), r.Sagging.Volts(c.At), floorPercent(r.HoldLevel))
	}
	switch e := r.Extra; {
	case r.MinVolts <= 0 || e.Possible && len(e.Pixels) == 0:
	case !e.Possible:
		r.find("No number of feeds on wire like the first feed's keeps every pixel above %.2f V at full level: use thicker or shorter wire, or stay at the lower level.", r.MinVolts)
	default:
		r.find("For full level add %s like the first: %s; the lowest voltage is then %.2f V%s.%s", feedCount(len(e.Pixels)), placeList(p, e.Pixels), e.Lowest, unproven(e), wireless(p))
	}
}

func unproven(e Placement) string {
	if e.Proven {
		return ""
	}
	return " (the fewest found; not every placement of fewer could be tried)"
}

// wireless warns that feeds were placed as if their wires lost nothing.
func wireless(p *prop.Prop) string {
	if len(p.Feeds) > 0 && p.Feeds[0].WireMetre > 0 {
		return ""
	}
	return " The first feed has no wire in the file, so what the new feeds' wires lose is not in this."
}

func feedCount(n int) string {
	if n == 1 {
		return "1 more feed"
	}
	return fmt.Sprintf("%d more feeds", n)
}

func placeList(p *prop.Prop, pixels []int) string {
	var parts []string
	for _, i := range pixels {
		parts = append(parts, "at "+PlaceName(p, i))
	}
	return strings.Join(parts, ", ")
}

// floorPercent rounds a level down, so that what is printed holds. The hair
// added undoes binary fractions only.
func floorPercent(level float64) float64 { return float64(int(100*level + 1e-9)) }

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// Cautions are the usual ones for supplies and wiring. They give way to local
// codes, the maker's instructions and licensed people.
func Cautions() []string {
	return []string{
		"Mains side (cord, terminals, box): qualified people only, by local code; outdoors behind a GFCI or RCD.",
		"Fuse every feed at the supply end; the fuse protects the wire. These figures are estimates, not a code rating.",
		"Two supplies on one strip: cut the plus between them, keep the ground joined.",
		"Switch off before you join or cut; check polarity with a meter; rings and bracelets off, a 5 V supply can weld.",
		"Start at a low level, raise it step by step and feel the joints and connectors.",
	}
}
