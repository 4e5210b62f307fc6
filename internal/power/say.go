package power

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

func errLevel(level float64) error {
	return fmt.Errorf("level %g does not exist: give 0 to 1 (0 to 100 %%)", level)
}

// ErrNoProp is given when there is nothing to plan.
var ErrNoProp = errors.New("there is no prop to plan: open or write a prop file first")

// placeWork bounds the search for extra feeds so that a screen stays live:
// pixels visited, at some 20 ns each.
const placeWork = 1_500_000

// extra places more feeds on wire like that of the first feed.
func (r *Report) extra(p *prop.Prop, n *Network) (Placement, error) {
	if r.MinVolts <= 0 {
		return Placement{}, nil
	}
	amps := ampsOf(draws(r.on, DrawOf(p.Chip, r.Colour, 1)))
	return PlaceFeeds(n, amps, n.Taps[0].Rails, r.MinVolts, placeWork, r.handy(p)...)
}

// handy are the places that are easy to solder at: both sides of joints, and
// both ends.
func (r *Report) handy(p *prop.Prop) (out []int) {
	for i, first := range r.starts {
		out = append(out, first, first+p.Runs[i].Pixels-1)
	}
	return out
}

func (r *Report) say(p *prop.Prop) {
	r.sayAssumed(p)
	r.saySupply(p)
	r.sayVoltage(p)
	for _, f := range r.Feeds {
		r.Findings = append(r.Findings, f.Check.Sentences(words.Capital(f.Name))...)
		if share := f.Drop / p.Supply.Volts; share > 0.05 {
			r.find("%s loses %s in its wires, %.0f %% of the supply; aim for under 5 %%: thicker or shorter wire, or less through it.", words.Capital(f.Name), VoltsText(f.Drop), 100*share)
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
	if r.Band != nil {
		add("%s", r.bandText(p))
	} else {
		add("%s: %.1f mA a channel at full and %.1f mA dark; chips of one name differ, so overwrite these with a reading.", p.Chip.Name, 1000*p.Chip.ChannelAmps, 1000*p.Chip.IdleAmps)
	}
	if empty := r.Pixels - r.Lights; empty > 0 {
		add("%s in empty parts: taken to stay dark and to draw %.1f mA each.", words.Count(empty, "pixel"), 1000*p.Chip.IdleAmps)
	}
	if ohms, given := RailOhms(p); !given && !p.Bulb() {
		add("Each rail of the strip is taken at %g ohms a metre, as measured on one strip of 60 a metre.", ohms)
	}
	switch {
	case len(p.Feeds) > 0 && p.Runs[0].LeadIn > 0:
		add("The supply comes in by the feeds of the file only; the lead before the first run is taken to carry data and ground.")
	case len(p.Feeds) > 0:
	case p.Bulb():
		add("The bulb's supply is taken to come in by its own lead, which costs no volts: write [[feed]] with length, wire and fuse where it has a wire of yours.")
	default:
		add("No [[feed]] is in the file: the supply is taken to come in by the lead of %s%s. If it goes in elsewhere, write [[feed]] with at, length, wire and fuse for each pair of supply wires.", leadsIn(p), leadText(p))
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
		r.find("The prop draws %.1f A, but a supply of %g A should give no more than %.1f A for hours on end: at most level %d %% in this colour, or a larger supply.",
			s.Amps, s.Rated, s.Limit, FloorPercent(r.SupplyLevel))
	}
	switch {
	case r.Supplies != nil:
		r.find("%s", r.suppliesText(p))
	case r.SuppliesLeast > mostSupplies || r.SuppliesLeast > 1 && r.Pixels > windowsUpTo:
		r.find("Full level in this colour takes at least %d supplies of %.4g A by current alone; no way to share the feeds among them was found: use larger supplies, more feeds, or split the prop into several files.",
			r.SuppliesLeast, s.Rated)
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
		r.find("%s from %s on %s no supply: plus is not carried over to %s and no feed enters there.",
			words.Count(c.Dead, "pixel"), PlaceName(p, c.DeadAt), words.Plural(c.Dead, "gets", "get"), words.Plural(c.Dead, "it", "them"))
	case !r.Holds && c.Lowest > 0:
		r.find("The voltage falls to %s at %s (about %s as real strip sags); %s needs %s. It %s.",
			VoltsText(c.Lowest), PlaceName(p, c.At), VoltsText(r.Sagging.Volts(c.At)), p.Chip.Name, VoltsText(r.MinVolts), r.HoldText())
	case !r.Holds:
		r.find("The copper cannot carry this load: %s would be left without voltage (about %s as real strip sags). It %s.",
			PlaceName(p, c.At), VoltsText(r.Sagging.Volts(c.At)), r.HoldText())
	}
	switch e := r.Extra; {
	case r.MinVolts <= 0 || e.Possible && len(e.Pixels) == 0:
	case !e.Possible:
		r.find("No number of feeds on wire like the first feed's keeps every pixel above %s at full level: use thicker or shorter wire, or stay at the lower level.", VoltsText(r.MinVolts))
	default:
		r.find("For full level add %d more %s like the first: %s; the lowest voltage is then %s%s.%s", len(e.Pixels), words.Plural(len(e.Pixels), "feed", "feeds"), placeList(p, e.Pixels), VoltsText(e.Lowest), unproven(e), wireless(p))
		r.find("%s", r.afterText())
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
	if feedsOf(p)[0].WireMetre > 0 {
		return ""
	}
	return " The first feed has no wire in the file: what the new feeds' wires lose is not in this."
}

// afterText is what each feed carries once the extra ones are there, and the
// blade fuse for it.
func (r *Report) afterText() string {
	var parts []string
	for _, f := range r.After {
		fuse := "no blade fuse is large enough"
		switch {
		case f.Check.Size > 0 && f.Check.SizeFits == Bad:
			fuse = fmt.Sprintf("%g A fuse, but the wire is too thin for it", f.Check.Size)
		case f.Check.Size > 0:
			fuse = fmt.Sprintf("%g A fuse", f.Check.Size)
		}
		parts = append(parts, fmt.Sprintf("%s %.1f A (%s)", f.Name, f.Amps, fuse))
	}
	return "With them, at full level: " + strings.Join(parts, ", ") + "."
}

// leadText is the first of those leads.
func leadText(p *prop.Prop) string {
	if p.Runs[0].LeadIn == 0 {
		return ", which has no lead_in and so costs no volts"
	}
	return ", " + FeedWire(p, feedsOf(p)[0])
}

// leadsIn names the runs by whose lead the supply comes in.
func leadsIn(p *prop.Prop) string {
	names := []string{}
	for i, r := range p.Runs {
		if i == 0 || r.Apart {
			names = append(names, p.QuotedRun(i))
		}
	}
	if len(names) > 3 {
		return fmt.Sprintf("%s and %d more runs", names[0], len(names)-1)
	}
	return strings.Join(names, " and ")
}

// HoldText says up to which level no pixel falls below the chip's lowest
// voltage: "holds up to level 48 % in this colour".
func (r *Report) HoldText() string {
	switch {
	case !r.HoldsDark:
		return "does not hold even dark"
	case r.HoldLevel < 0.01:
		return "holds below level 1 % only in this colour"
	}
	return fmt.Sprintf("holds up to level %d %% in this colour", FloorPercent(r.HoldLevel))
}

func placeList(p *prop.Prop, pixels []int) string {
	var parts []string
	in := p.Finder()
	for _, i := range pixels {
		run, at := in.Find(i)
		parts = append(parts, "at "+placeName(p, i, run, at))
	}
	return strings.Join(parts, ", ")
}

// VoltsText writes a voltage, planned or measured, rounded down, so that what is
// printed holds and is the same on every page. Below
// zero the constant-current model only says that the copper can't carry so much.
func VoltsText(v float64) string {
	if v < 0 {
		return "none"
	}
	return fmt.Sprintf("%.2f V", math.Floor(100*v+1e-9)/100)
}

// FloorPercent rounds a level down to whole percent, so that what is printed
// holds. The hair added undoes binary fractions only: 0.57 is 57 %.
func FloorPercent(level float64) int { return int(100*level + 1e-9) }

// Cautions are the usual ones for supplies and wiring. They give way to local
// codes, the maker's instructions and licensed people.
func Cautions() []string {
	return []string{
		"Mains side (cord, terminals, box): qualified people only, by local code; outdoors behind a GFCI or RCD.",
		"Fuse every feed at the supply end; the fuse protects the wire. These figures are estimates, not a code rating.",
		"Two supplies on one strip: cut the plus between them, keep the ground joined.",
		"Switch off before you join or cut; check polarity with a meter; rings and bracelets off, a 5 V supply can weld.",
		"Start at a low level and raise it step by step; feel the joints and connectors.",
	}
}
