package plan

import (
	"fmt"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/digits"
)

// A page is one kind of result, or in the narrow layout the figures. To add one: a type
// here or in a file of its own, and its place in pages. Pages are compared with ==, so they
// have no fields.
type page interface {
	name() string
	in(m Model) bool                        // whether the layout has it
	large(pl *plan.Plan, l level) largeText // what is read from two metres
	short() bool                            // whether the plan in short is above it, on one line
	lines(m Model, pl *plan.Plan, width, rows int) []string
	picture(m Model, pl *plan.Plan) picture // the drawing beside it in the wide layout
}

// pages are in the order that v turns them.
var pages = []page{figuresPage{}, powerPage{}, countsPage{}, addressPage{}, drawingPage{}, safetyPage{}}

// A level is the level for which power is computed, 0 to 1.
type level float64

// A largeText is a text for large letters, in forms each shorter than the one before.
type largeText struct {
	texts []string
	bad   bool
}

// everywhere is for pages that every layout has.
type everywhere struct{}

func (everywhere) in(Model) bool { return true }
func (everywhere) short() bool   { return true }

// voltsBeside is for pages beside which the drawing shows the volts.
type voltsBeside struct{}

func (voltsBeside) picture(m Model, pl *plan.Plan) picture { return m.voltage(pl) }

type figuresPage struct{ voltsBeside }

func (figuresPage) name() string                                   { return "Figures" }
func (figuresPage) in(m Model) bool                                { return m.layout() == narrow }
func (figuresPage) large(pl *plan.Plan, l level) largeText         { return verdict(pl, l) }
func (figuresPage) short() bool                                    { return true }
func (figuresPage) lines(m Model, _ *plan.Plan, _, _ int) []string { return m.left() }

type powerPage struct {
	everywhere
	voltsBeside
}

func (powerPage) name() string                           { return "Power" }
func (powerPage) large(pl *plan.Plan, l level) largeText { return verdict(pl, l) }
func (powerPage) short() bool                            { return false }

type countsPage struct{ everywhere }

func (countsPage) name() string                           { return "Counts" }
func (countsPage) picture(m Model, pl *plan.Plan) picture { return m.beginnings(pl) }

// large is the number of pixels, or the verdict if the plan does not hold.
func (countsPage) large(pl *plan.Plan, l level) largeText {
	if v := verdict(pl, l); v.bad {
		return v
	}
	p := pl.Prop
	count := words.Count(p.Pixels(), "pixel")
	if p.Bulb() {
		return largeText{texts: []string{"One bulb", "Bulb"}}
	}
	return largeText{texts: []string{count + ", " + words.Count(len(p.Runs), "run"), count}}
}

type addressPage struct{ everywhere }

func (addressPage) name() string                           { return "Addresses" }
func (addressPage) picture(m Model, pl *plan.Plan) picture { return m.beginnings(pl) }

// large is the address of the prop, or the verdict if the plan does not hold.
func (addressPage) large(pl *plan.Plan, l level) largeText {
	if v := verdict(pl, l); v.bad {
		return v
	}
	first, last := pl.Rows[0], pl.Rows[len(pl.Rows)-1]
	if last.LastUniverse != first.FirstUniverse {
		between := fmt.Sprintf("Universes %d to %d", first.FirstUniverse, last.LastUniverse)
		return largeText{texts: []string{fmt.Sprintf("%s, from slot %d", between, first.FirstSlot), between}}
	}
	slots := fmt.Sprintf("slots %d to %d", first.FirstSlot, last.LastSlot)
	return largeText{texts: []string{fmt.Sprintf("Universe %d, %s", first.FirstUniverse, slots), slots}}
}

type drawingPage struct{ voltsBeside }

func (drawingPage) name() string { return "Drawing" }

// in is where the drawing is larger than on the page of power, and does not stand beside all pages.
func (drawingPage) in(m Model) bool {
	return m.layout() != wide && m.size.Height >= highDrawing && !(m.doc != nil && m.doc.Prop().Bulb())
}

func (drawingPage) large(pl *plan.Plan, l level) largeText { return verdict(pl, l) }
func (drawingPage) short() bool                            { return true }

func (drawingPage) lines(m Model, _ *plan.Plan, width, rows int) []string {
	return m.drawing(width, rows)
}

type safetyPage struct {
	everywhere
	voltsBeside
}

func (safetyPage) name() string                           { return "Safety" }
func (safetyPage) large(pl *plan.Plan, l level) largeText { return verdict(pl, l) }

// lowVolts is the lowest voltage beside the one that the chip needs.
func lowVolts(r *power.Report) string {
	return fmt.Sprintf("%s, not %.2f", digits.Whole(words.Volts(r.Constant.Lowest)), r.MinVolts)
}

// wiresCarry says up to which level the wires carry the prop, in forms each shorter than the one before.
func wiresCarry(r *power.Report) []string {
	most := power.FloorPercent(r.WireLevel)
	if most == 0 {
		return []string{"Wires too thin"}
	}
	return []string{fmt.Sprintf("Wires carry %d %%", most), fmt.Sprintf("Wires: %d %%", most)}
}

// verdict is the result of the plan: its worst problem, or that it holds.
func verdict(pl *plan.Plan, l level) largeText {
	r, bulb := pl.Power, pl.Prop.Bulb()
	bad := func(texts ...string) largeText { return largeText{texts, true} }
	switch {
	case r.Constant.Dead > 0 && !bulb:
		return bad(fmt.Sprintf("No supply from %d", r.Constant.DeadAt+1), "No supply")
	case r.Constant.Dead > 0:
		return bad("No supply")
	case r.Level > r.WireLevel:
		return bad(wiresCarry(r)...)
	case r.Supply.Load == power.Bad:
		limit := words.Amps(r.Supply.Limit)
		return bad("Too much: "+digits.Whole(fmt.Sprintf("%s of %s", words.Figure(r.Amps), limit)), "Too much: "+digits.Whole(words.Amps(r.Amps)))
	case !r.Holds && bulb:
		return bad("Too low: "+digits.Whole(words.Volts(r.Constant.Lowest)), lowVolts(r))
	case !r.Holds:
		low := "Too low: " + digits.Whole(words.Volts(r.Constant.Lowest))
		return bad(fmt.Sprintf("%s at pixel %d", low, r.Constant.At+1), low, lowVolts(r))
	}
	for _, f := range r.Feeds {
		if f.Check.Verdict == power.Bad { // a fuse that is missing, or a wire too thin
			word := words.Capital(f.Check.Word())
			if bulb {
				return bad(word)
			}
			return bad(fmt.Sprintf("%s at pixel %d", word, f.Pixel+1), word)
		}
	}
	if pl.BulbWireMissing() {
		return largeText{texts: []string{"Volts not known", "Volts?"}}
	}
	holds := "Holds at " + words.Percent(float64(l))
	return largeText{texts: []string{fmt.Sprintf("%s, %s", holds, words.Amps(r.Amps)), holds, "Holds"}}
}
