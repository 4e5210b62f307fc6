package power

import (
	"fmt"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// Copper is what voltmeter readings of a prop hold for, as a text to compare or to hash: its
// network, its chip and its supply.
func Copper(p *prop.Prop) (string, error) {
	n, err := NetworkOf(p)
	if err != nil {
		return "", err
	}
	return fmt.Sprint(*n, p.Chip, p.Supply), nil
}

// NetworkOf makes the network of a prop from its file, at the file's wire
// temperature: -60 to 150 °C, the range in which the linear temperature
// coefficient of IACS is used.
//
// A feed joins the rails at its pixel: the half pitch of rail between the pads
// and that pixel, a few milliohms, is left out. Neighbours are one pitch of
// strip apart; at a joint the resistance of the leads and of the joint is
// added. Without any feed the supply enters by the lead of the first run, and
// by that of every run whose plus is not joined to the run before (Run.Apart).
// Plus is cut before such a run; the ground continues.
func NetworkOf(p *prop.Prop) (*Network, error) {
	switch {
	case p.Pixels() < 1:
		return nil, fmt.Errorf("the prop has no pixels: give a run a count or a cut")
	case !(p.Supply.Volts > 0):
		return nil, fmt.Errorf("the supply has %s: give its voltage, such as 5 or 12", words.Given(p.Supply.Volts, "V"))
	case p.RailOhms < 0:
		return nil, fmt.Errorf("the rails have %g ohms a metre: give 0 or more, such as 0.2", p.RailOhms)
	case p.WireCelsius < -60 || p.WireCelsius > 150:
		return nil, fmt.Errorf("the wire is at %g degrees Celsius: give -60 to 150", p.WireCelsius)
	}
	n := &Network{Volts: p.Supply.Volts}
	if err := addRuns(n, p); err != nil {
		return nil, err
	}
	if err := addFeeds(n, p); err != nil {
		return nil, err
	}
	return n, n.Check()
}

// RailOhms is the resistance of one rail of the prop's strip, ohms a metre,
// and whether the file gives it or it is the usual figure: 0.2, since 5 m of
// WS2812B strip, 60 a metre, were measured at 1 Ω a rail (a published bench
// measurement, called rough by its author). Another author has 0.1 to 0.2; by
// geometry, foil of 34.8 µm and 3 mm width has 0.165, of twice that weight and
// 5 mm 0.050.
func RailOhms(p *prop.Prop) (ohms float64, given bool) {
	if p.RailOhms > 0 {
		return p.RailOhms, true
	}
	return prop.DefaultRailOhms, false
}

// celsius is the wire's temperature; without one in the file that of the
// handbooks' tables, 20 °C.
func celsius(p *prop.Prop) float64 {
	if p.WireCelsius != 0 {
		return p.WireCelsius
	}
	return 20
}

func leadWire(p *prop.Prop) prop.Wire {
	if p.LeadWire != (prop.Wire{}) {
		return p.LeadWire
	}
	return prop.DefaultLeadWire
}

// addRuns adds the rails of every run, each after its joint. A closed run has
// one pitch of strip from its last pixel back to its first as well.
func addRuns(n *Network, p *prop.Prop) error {
	lead, err := OhmsPerMetre(leadWire(p), celsius(p))
	if err != nil {
		return fmt.Errorf("leads between the runs: %w", err)
	}
	at := 0
	for i, r := range p.Runs {
		if r.Pixels < 1 || r.Cut < 0 || r.LeadIn < 0 || r.LeadOut < 0 || r.JointOhms < 0 {
			return fmt.Errorf("run %q has %d pixels, a cut of %g m, leads of %g and %g m and a joint of %g ohms: none may be below zero, and there is at least one pixel",
				r.Name, r.Pixels, r.Cut, r.LeadIn, r.LeadOut, r.JointOhms)
		}
		step := stepOhms(p, r)
		if i > 0 {
			n.Links = append(n.Links, joint(p.Runs[i-1], r, step, lead))
		}
		for range r.Pixels - 1 {
			n.Links = append(n.Links, Rails{step, step})
		}
		if r.Closed {
			n.Loops = append(n.Loops, Loop{at, at + r.Pixels - 1, Rails{step, step}})
		}
		at += r.Pixels
	}
	return nil
}

// stepOhms is one pitch of one rail, ohms: ohms a metre over pixels a metre.
// For chips that are not on strip it is the length of the run over its pixels.
func stepOhms(p *prop.Prop, r prop.Run) float64 {
	ohms, _ := RailOhms(p)
	if pitch := p.Chip.Pitch(); pitch > 0 {
		return ohms * pitch
	}
	return ohms * r.Cut / float64(r.Pixels)
}

// joint is the resistance from the last pixel of a run to the first of the next:
// a pitch of strip, both leads at lead ohms a metre, and the joint itself.
// Run.JointOhms is the resistance of each conductor.
func joint(before, r prop.Run, step, lead float64) Rails {
	ohms := step + (before.LeadOut+r.LeadIn)*lead + r.JointOhms
	if r.Apart {
		return Rails{Broken, ohms} // data needs the ground to continue
	}
	return Rails{ohms, ohms}
}

// addFeeds adds a tap for each feed, plus and minus of one wire and length.
func addFeeds(n *Network, p *prop.Prop) error {
	for i, f := range feedsOf(p) {
		if f.Pixel < 0 || f.Pixel >= n.Pixels() {
			return fmt.Errorf("%s enters at pixel %d, but the prop has %d pixels: give 1 to %d", FeedName(p, i), f.Pixel+1, n.Pixels(), n.Pixels())
		}
		ohms, err := feedOhms(f, celsius(p))
		if err != nil {
			return fmt.Errorf("%s: %w", FeedName(p, i), err)
		}
		n.Taps = append(n.Taps, Tap{f.Pixel, Rails{ohms, ohms}})
	}
	return nil
}

// feedsOf are the feeds of the file. Without any, the lead before the first run
// carries the supply, and so does that of every run whose plus is not joined to
// the run before.
func feedsOf(p *prop.Prop) []prop.Feed {
	if len(p.Feeds) > 0 {
		return p.Feeds
	}
	var out []prop.Feed
	starts := p.Starts()
	for i, r := range p.Runs {
		if i == 0 || r.Apart {
			out = append(out, prop.Feed{Pixel: starts[i], WireMetre: r.LeadIn, Wire: leadWire(p)})
		}
	}
	return out
}

// feedOhms is one conductor of a feed, ohms: its length, one way, times the
// ohms a metre. A feed without wire has 0 Ω.
func feedOhms(f prop.Feed, celsius float64) (float64, error) {
	switch {
	case f.WireMetre < 0:
		return 0, fmt.Errorf("its wire is %g m long: a length is never below zero", f.WireMetre)
	case f.FuseAmps < 0:
		return 0, fmt.Errorf("its fuse has %s: give its rating, or leave it out", words.Given(f.FuseAmps, "A"))
	case f.WireMetre == 0:
		return 0, nil
	}
	each, err := OhmsPerMetre(f.Wire, celsius)
	return each * f.WireMetre, err
}

// FeedName is the name of feed i in a sentence.
func FeedName(p *prop.Prop, i int) string {
	switch {
	case len(p.Feeds) == 0 && i == 0:
		return "the supply lead"
	case len(p.Feeds) == 0:
		return "the supply lead to " + PlaceName(p, feedsOf(p)[i].Pixel)
	case p.OwnFeedName(i) != "":
		return fmt.Sprintf("feed %q", p.OwnFeedName(i))
	}
	return fmt.Sprintf("feed %d", i+1)
}

// feedPlace is where wires enter, `the start of "outer ring" (pixel 85)`, of a
// pixel that has been found in its run.
func feedPlace(p *prop.Prop, pixel, run, at int) string {
	switch {
	case run < 0:
		return placeName(p, pixel, run, at)
	case at == 0 && pixel == 0 && len(p.Runs) == 1:
		return "the start (pixel 1)"
	case at == p.Runs[run].Pixels-1 && len(p.Runs) == 1:
		return fmt.Sprintf("the end (pixel %d)", pixel+1)
	case at == 0:
		return fmt.Sprintf("the start of %s (pixel %d)", p.QuotedRun(run), pixel+1)
	case at == p.Runs[run].Pixels-1:
		return fmt.Sprintf("the end of %s (pixel %d)", p.QuotedRun(run), pixel+1)
	}
	return fmt.Sprintf("pixel %d, %d of %s", pixel+1, at+1, p.QuotedRun(run))
}

// FeedWire is a feed's wire: "1.5 m of 18 AWG", one way.
func FeedWire(p *prop.Prop, f prop.Feed) string {
	if f.WireMetre == 0 {
		return "no wire"
	}
	return prop.FormatLength(f.WireMetre, p.Inches) + " of " + WireName(f.Wire)
}

// PlaceName is the place of a pixel, counted from 1: `pixel 12 of run "inner
// ring"`.
func PlaceName(p *prop.Prop, pixel int) string {
	run, at := p.Find(pixel)
	return placeName(p, pixel, run, at)
}

// placeName is PlaceName of a pixel that has been found.
func placeName(p *prop.Prop, pixel, run, at int) string {
	if run < 0 || len(p.Runs) == 1 {
		return fmt.Sprintf("pixel %d", pixel+1)
	}
	return fmt.Sprintf("pixel %d of %s", at+1, p.QuotedRun(run))
}
