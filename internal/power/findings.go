package power

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

func errLevel(level float64) error {
	return fmt.Errorf("level %g does not exist: give 0 to 1 (0 to 100 %%)", level)
}

// ErrNoProp is returned for a nil prop.
var ErrNoProp = errors.New("there is no prop to plan: open or write a prop file first")

// placeWork is the largest number of pixels visited by the search for extra
// feeds: at some 20 ns each it takes 30 ms, so that a screen stays responsive.
const placeWork = 1_500_000

// extra finds extra feeds for full level, on wire like that of the first feed.
func (r *Report) extra(p *prop.Prop, n *Network) (Placement, error) {
	if r.MinVolts <= 0 {
		return Placement{}, nil
	}
	amps := ampsOf(draws(r.on, DrawOf(p.Chip, r.Colour, 1)))
	return PlaceFeeds(n, amps, n.Taps[0].Rails, r.MinVolts, placeWork, r.easyPlaces(p)...)
}

// easyPlaces are the pixels at which a feed is easy to solder: the first and
// last of every run.
func (r *Report) easyPlaces(p *prop.Prop) (out []int) {
	for i, first := range r.starts {
		out = append(out, first, first+p.Runs[i].Pixels-1)
	}
	return out
}

func (r *Report) addFindings(p *prop.Prop) {
	r.addAssumed(p)
	if text := r.WireText(); text != "" {
		r.addFinding("%s", text)
	}
	r.addSupplyFindings(p)
	r.addVoltageFindings(p)
	for _, f := range r.Feeds {
		r.Findings = append(r.Findings, f.Check.Sentences(words.Capital(f.Name))...)
		if share := f.Drop / p.Supply.Volts; share > 0.05 {
			r.addFinding("%s loses %s in its wires, %s of the supply; aim for under 5 %%: power off; thicker or shorter wire, or less through it.", words.Capital(f.Name), words.Volts(f.Drop), words.WholePercent(share))
		}
	}
	r.addJointFindings(p)
	r.Cautions = cautions(p)
}

func (r *Report) addFinding(format string, args ...any) {
	r.Findings = append(r.Findings, fmt.Sprintf(format, args...))
}

func (r *Report) addAssumed(p *prop.Prop) {
	add := func(format string, args ...any) { r.Assumed = append(r.Assumed, fmt.Sprintf(format, args...)) }
	if r.Band != nil {
		r.Assumed = append(r.Assumed, r.bandText(p)...)
	} else {
		add("%s: %s a channel at full and %s dark; chips of one name differ, so overwrite these with a reading.", p.Chip.Name, words.Milliamps(p.Chip.ChannelAmps), words.Milliamps(p.Chip.IdleAmps))
	}
	if empty := r.Pixels - r.Lights; empty > 0 {
		add("%s in empty parts: taken to stay dark and to draw %s each.", words.Count(empty, "pixel"), words.Milliamps(p.Chip.IdleAmps))
	}
	if ohms, given := RailOhms(p); !given && !p.Bulb() {
		add("Each rail of the strip is taken at %g ohms a metre: as measured on one of 60 a metre.", ohms)
	}
	switch {
	case len(p.Feeds) > 0 && p.Runs[0].LeadIn > 0:
		add("The supply comes in by the feeds of the file only; the lead before the first run is taken to carry data and ground.")
	case len(p.Feeds) > 0:
	case p.Bulb():
		add("The bulb's own lead is taken to bring the supply and to cost no volts: write [[feed]] with length, wire and fuse where it has a wire of yours.")
	default:
		add("No [[feed]] is in the file: the supply is taken to come in by the lead of %s%s. If it goes in elsewhere, write a [[feed]] for each pair of supply wires: at, length, wire and fuse.", leadsIn(p), leadText(p))
	}
	if p.LeadWire == (prop.Wire{}) && len(p.Runs) > 1 {
		add("Leads between runs are taken as %s.", WireName(prop.DefaultLeadWire))
	}
	if p.WireCelsius == 0 {
		add("Wire is taken at 20 degrees Celsius; warm wire has 0.39 %% more resistance a degree.")
	}
	add("The supply is taken to hold its voltage at any load.")
	if _, known := prop.ChipByName(p.Chip.Name); !known && p.Chip.MinVolts == prop.LowestShare(p.Chip.Volts) {
		add("%s is taken to work from %s, 0.9 of its volts: write lowest from its datasheet.", p.Chip.Name, words.Volts(p.Chip.MinVolts))
	}
	if !p.Bulb() {
		add("Only the pixels are counted: a controller on the same supply draws its own current as well.")
		add("At worst each pixel draws its full current at any voltage. A likely figure lets it fall with the voltage, as real strip does.")
	}
}

func (r *Report) addSupplyFindings(p *prop.Prop) {
	s := r.Supply
	if s.Load == Bad {
		r.addFinding("The prop draws %s. For hours on end a supply of %s should give at most %s: a larger supply, or %s.",
			words.Amps(s.Amps), words.Given(s.Rated, "A"), words.Amps(s.Limit), r.supplyLevelText())
	}
	switch {
	case r.Supplies != nil:
		r.addFinding("%s", r.suppliesText(p))
	case r.SuppliesLeast > mostSupplies || r.SuppliesLeast > 1 && isLong(r.Pixels):
		r.addFinding("Full level in this colour takes at least %d supplies of %s by current alone; no way to share the feeds among them was found: power off, then use larger supplies, more feeds, or split the prop into several files.",
			r.SuppliesLeast, words.Given(s.Rated, "A"))
	}
	if p.Supply.Volts > bladeVolts {
		r.addFinding("Blade fuses are rated %s DC: power off, then take fuses and holders for %s.", words.Given(bladeVolts, "V"), words.Given(p.Supply.Volts, "V"))
	}
	switch c := p.Chip; {
	case c.Volts > 0 && p.Supply.Volts > 1.1*c.Volts:
		r.addFinding("The supply has %s, but %s is made for %s: that can destroy every pixel.", words.Given(p.Supply.Volts, "V"), c.Name, words.Given(c.Volts, "V"))
	case p.Supply.Volts < c.MinVolts:
		r.addFinding("The supply has %s, but %s needs %s at least.", words.Given(p.Supply.Volts, "V"), c.Name, words.Given(c.MinVolts, "V"))
	}
}

// supplyLevelText is the level that the supply allows, beside the lower one that the voltage
// allows: one level is to be used.
func (r *Report) supplyLevelText() string {
	supply, volts, wires := FloorPercent(r.SupplyLevel), FloorPercent(r.HoldLevel), FloorPercent(r.WireLevel)
	if wires < supply && (wires <= volts || !r.HoldsDark) {
		return fmt.Sprintf("level %d %% by its amps alone; the wires carry less, level %d %%", supply, wires)
	}
	if r.HoldsDark && volts < supply {
		return fmt.Sprintf("level %d %% by its amps alone; the voltage allows less, level %d %%", supply, volts)
	}
	return fmt.Sprintf("at most level %d %% in this colour", supply)
}

func (r *Report) addVoltageFindings(p *prop.Prop) {
	c := r.Constant
	switch {
	case c.Dead > 0:
		r.addFinding("%s from %s on %s no supply: plus is not carried over to %s and no feed enters there.",
			words.Count(c.Dead, "pixel"), PlaceName(p, c.DeadAt), words.Plural(c.Dead, "gets", "get"), words.Plural(c.Dead, "it", "them"))
	case !r.Holds && c.Lowest > 0:
		r.addFinding("The voltage falls to %s at %s (likely about %s); %s needs %s. It %s.",
			words.Volts(c.Lowest), PlaceName(p, c.At), words.Volts(r.Sagging.Volts(c.At)), p.Chip.Name, words.Volts(r.MinVolts), r.HoldText())
	case !r.Holds:
		r.addFinding("The copper cannot carry this load: %s would be left without voltage (likely about %s). It %s.",
			PlaceName(p, c.At), words.Volts(r.Sagging.Volts(c.At)), r.HoldText())
	}
	switch e := r.Extra; {
	case r.MinVolts <= 0 || e.Possible && len(e.Pixels) == 0:
	case !e.Possible:
		r.addFinding("At full level no number of feeds on the first feed's wire holds %s: stay at the lower level; or power off and use thicker or shorter wire.", words.Volts(r.MinVolts))
	default:
		r.addFinding("For full level%s, power off and add %d more %s like the first: %s; the lowest voltage is then %s%s.%s", r.fromOneSupply(), len(e.Pixels), words.Plural(len(e.Pixels), "feed", "feeds"), placeList(p, e.Pixels), words.Volts(e.Lowest), unprovenText(e), noWireText(p))
		r.addFinding("%s", r.afterText())
	}
}

// fromOneSupply tells feeds to add with a larger supply from those to add with
// several, which stand under other headings and have numbers of their own.
func (r *Report) fromOneSupply() string {
	if r.Supplies == nil || isLong(r.Pixels) {
		return ""
	}
	return " from one larger supply"
}

func unprovenText(e Placement) string {
	if e.Proven {
		return ""
	}
	return " (the fewest found; not every placement of fewer could be tried)"
}

// noWireText warns that feeds were placed as if their wires had no resistance.
func noWireText(p *prop.Prop) string {
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
		parts = append(parts, f.Name+": "+f.LoadText()) // "new feed 1 2.4 A" would read as 12.4
	}
	return "With them, at full level, " + strings.Join(parts, "; ") + "."
}

// LoadText is the feed's load with the blade fuse for it: "3.4 A (5 A fuse)".
func (f FeedReport) LoadText() string {
	fuse := "no blade fuse is large enough"
	switch {
	case f.Check.Size > 0 && f.Check.SizeFits == Bad:
		fuse = fmt.Sprintf("%s fuse, but the wire is too thin for it", words.Given(f.Check.Size, "A"))
	case f.Check.Size > 0 && f.Check.SizeLeads == Bad:
		fuse = fmt.Sprintf("%s fuse, but the leads are too thin for it", words.Given(f.Check.Size, "A"))
	case f.Check.Size > 0:
		fuse = fmt.Sprintf("%s fuse", words.Given(f.Check.Size, "A"))
	}
	return fmt.Sprintf("%s (%s)", f.Check.LoadText(), fuse)
}

// leadText describes the first lead by which the supply comes in.
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

// WireText says what level the wires carry, where that is less than full level; empty where it is not.
func (r *Report) WireText() string {
	switch {
	case r.WireLevel >= 1:
		return ""
	case r.WireLevel < 0.01:
		return "The wires carry no level of this colour, not even 1 %: power off, and use thicker wire or more feeds."
	}
	return fmt.Sprintf("The wires carry level %d %% in this colour at most. For more, power off and use thicker wire or more feeds.", FloorPercent(r.WireLevel))
}

// Highest is the highest level, 0 to 1, in this colour that supply, wires and voltage allow.
func (r *Report) Highest() float64 { return min(r.HoldLevel, r.SupplyLevel, r.WireLevel) }

// HighestText is Highest and what each of the three allows; of wires only where that is less than full level.
func (r *Report) HighestText() string {
	wires := ""
	if r.WireLevel < 1 {
		wires = fmt.Sprintf("wires carry %d %%, ", FloorPercent(r.WireLevel))
	}
	return fmt.Sprintf("%d %% (supply allows %d %%, %svoltage %s)", FloorPercent(r.Highest()), FloorPercent(r.SupplyLevel), wires, r.HoldText())
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

// FloorPercent rounds a level down to whole percent, so that what is printed
// holds. The 1e-9 added corrects binary rounding only: 0.57 is 57 %.
func FloorPercent(level float64) int { return int(100*level + 1e-9) }

// cautions are the usual ones for supplies and wiring. Local codes, the maker's
// instructions and licensed people take precedence. A bulb has no strip to cut.
func cautions(p *prop.Prop) []string {
	out := []string{
		"Power off before you cut, solder or join; check polarity with a meter; rings and bracelets off, a 5 V supply can weld.",
		"Mains side (cord, terminals, box): licensed people only, by local codes; outdoors behind a GFCI or RCD.",
		"Fuse every feed at the supply end; the fuse protects the wire. These figures are estimates, not a code rating.",
		"Start at a low level and raise it step by step; feel the joints and connectors.",
	}
	if p.Bulb() {
		return out
	}
	return slices.Insert(out, 3, "Two supplies on one strip: power off, cut the plus between them, keep the ground joined.")
}
