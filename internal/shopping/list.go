// Package shopping makes one shopping list for several props, with prices from the
// builder's own price file if there is one.
//
// Units: metres inside; a list uses feet when most of its props do. Counts and reserves
// marked common practice have no other source. Nothing here reads a file or a clock.
package shopping

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/words"
)

// The groups of a list, in order.
const (
	Strip     = "strip"
	Tube      = "tube"
	Wire      = "wire"
	Fuses     = "fuses"
	Plugs     = "connectors"
	Shrink    = "heat-shrink"
	Supplies  = "supplies"
	DataParts = "data"
)

var groups = []string{Strip, Tube, Wire, Fuses, Plugs, Shrink, Supplies, DataParts}

// An Item is one line of the list.
type Item struct {
	Group    string   `json:"group"`
	Name     string   `json:"item"` // the name used in a price file
	Quantity float64  `json:"quantity"`
	Unit     string   `json:"unit"` // "reel", "m", "ft", "piece"
	Note     string   `json:"note,omitempty"`
	Props    []string `json:"props"`
	Price    float64  `json:"price_each,omitempty"` // 0 when the price file has none
	Cost     float64  `json:"cost,omitempty"`
}

// A List is what to buy for one or more props.
type List struct {
	Items    []Item  `json:"items"`
	Currency string  `json:"currency,omitempty"`
	Total    float64 `json:"total,omitempty"` // of the items with a price
	Unpriced int     `json:"unpriced"`        // items without one

	feet bool
}

// reserve is the factor on wire and heat-shrink for what is stripped, cut wrong and
// soldered again (common practice: a tenth).
const reserve = 1.10

// For makes the list for the props. The error is a sentence about one of them.
func For(props []*prop.Prop) (*List, error) {
	reports := make([]*power.Report, len(props))
	for i, p := range props {
		r, err := power.Plan(p, 1, power.FullWhite())
		if err != nil {
			return nil, fmt.Errorf("%s: %w", p.Name, err)
		}
		reports[i] = r
	}
	return ForPlanned(props, reports), nil
}

// ForPlanned makes the list for props with power reports already made, one each, at
// full level in white.
func ForPlanned(props []*prop.Prop, reports []*power.Report) *List {
	l := &List{}
	inches := 0
	for _, p := range props {
		if p.Inches {
			inches++
		}
	}
	l.feet = 2*inches > len(props)
	l.strip(props)
	l.tube(props)
	for i, p := range props {
		l.wire(p)
		l.feeds(p, reports[i])
		l.supply(p, reports[i])
		l.data(p)
	}
	l.finish()
	return l
}

// add adds a quantity of an item to the list.
func (l *List) add(p *prop.Prop, group, name string, quantity float64, unit, note string) {
	if quantity <= 0 {
		return
	}
	for i := range l.Items {
		x := &l.Items[i]
		if x.Group == group && x.Name == name && x.Unit == unit {
			x.Quantity += quantity
			if !slices.Contains(x.Props, p.Name) {
				x.Props = append(x.Props, p.Name)
			}
			return
		}
	}
	l.Items = append(l.Items, Item{Group: group, Name: name, Quantity: quantity, Unit: unit, Note: note, Props: []string{p.Name}})
}

// warn replaces the note of an item, whichever prop added it.
func (l *List) warn(group, name, note string) {
	for i := range l.Items {
		if x := &l.Items[i]; x.Group == group && x.Name == name {
			x.Note = note
		}
	}
}

// addLength adds a length with its reserve, in the list's unit.
func (l *List) addLength(p *prop.Prop, group, name string, metres float64) {
	unit, each := "m", 1.0
	if l.feet {
		unit, each = "ft", 0.3048
	}
	l.add(p, group, name, reserve*metres/each, unit, "")
}

// A pieceStock is the pieces of all props that are cut from one kind of reel or coil.
type pieceStock struct {
	name   string
	length float64 // of a reel or coil; 0 when no file gives it
	pieces []prop.Piece
	props  []*prop.Prop
}

func addPieces(all []*pieceStock, name string, length float64, p *prop.Prop, pieces []prop.Piece) []*pieceStock {
	if len(pieces) == 0 {
		return all
	}
	for _, s := range all {
		if s.name == name && s.length == length {
			s.pieces, s.props = append(s.pieces, pieces...), append(s.props, p)
			return all
		}
	}
	return append(all, &pieceStock{name, length, slices.Clone(pieces), []*prop.Prop{p}})
}

// strip counts reels over all props together, so that the rest of one prop's reel is
// used for another.
func (l *List) strip(props []*prop.Prop) {
	var all []*pieceStock
	for _, p := range props {
		if !p.Chip.IsStrip() {
			l.add(p, Strip, p.Chip.Name, float64(p.Pixels()), "piece", "")
			continue
		}
		name := fmt.Sprintf("strip %s, %s, %s", p.Chip.Name, prop.FormatDensity(p.Chip.LightsPerMetre, l.feet), words.Given(p.Chip.Volts, "V"))
		all = addPieces(all, name, p.Reel, p, prop.StripPieces(p))
	}
	l.stocks(Strip, "reel", all)
}

func (l *List) tube(props []*prop.Prop) {
	var all []*pieceStock
	for _, p := range props {
		all = addPieces(all, "tube or channel", p.Coil, p, prop.TubePieces(p))
	}
	l.stocks(Tube, "coil", all)
}

func (l *List) stocks(group, unit string, all []*pieceStock) {
	for _, s := range all {
		total, note := 0.0, ""
		for _, piece := range s.pieces {
			total += piece.Metres
		}
		cuts, err := prop.PlanCuts(s.pieces, s.length)
		if s.length <= 0 || err != nil {
			l.metres(group, s, total)
			continue
		}
		reels := float64(len(cuts.Reels))
		for _, long := range cuts.TooLong {
			reels += math.Ceil(long.Metres/s.length - 1e-9)
			note = "a piece is longer than one: joints in it"
		}
		if !cuts.Proven {
			note = "fewer might do"
		}
		name := fmt.Sprintf("%s, %s of %s", s.name, unit, prop.FormatLength(s.length, l.feet))
		for i, p := range s.props { // the first adds the reels; add skips 0, so the others add 1e-12 to be listed as users
			l.add(p, group, name, []float64{reels, 1e-12}[min(i, 1)], unit, note)
		}
	}
}

// metres lists a stock without a reel length by its total length.
func (l *List) metres(group string, s *pieceStock, total float64) {
	unit, each := "m", 1.0
	if l.feet {
		unit, each = "ft", 0.3048
	}
	for i, p := range s.props { // only the first adds the length; see stocks
		l.add(p, group, s.name, []float64{total / each, 1e-12}[min(i, 1)], unit, "no reel or coil length is in the file")
	}
}

// A Conductor is a wire of a lead: its pad and its colour (common practice; no standard
// applies).
type Conductor struct{ Pad, Colour string }

// Pads of strip.
const (
	Plus   = "plus"
	Data   = "data"
	Clock  = "clock"
	Ground = "ground"
)

const plusColour, groundColour = "red", "black"

// Colours lists the conductors of a lead in the order of its pads: plus unless the
// supply is separate, data, clock if there is one, ground.
func Colours(j prop.Joint, clocked bool) []Conductor {
	var out []Conductor
	if !j.SupplyApart {
		out = append(out, Conductor{Plus, plusColour})
	}
	out = append(out, Conductor{Data, "green"})
	if clocked {
		out = append(out, Conductor{Clock, "yellow"})
	}
	return append(out, Conductor{Ground, groundColour})
}

// wire adds leads and feeds by size and colour, connectors and heat-shrink.
func (l *List) wire(p *prop.Prop) {
	lead := p.LeadWire
	if lead == (prop.Wire{}) {
		lead = prop.DefaultLeadWire
	}
	for _, j := range prop.Joints(p) {
		if j.Lead <= 0 {
			continue
		}
		for _, c := range Colours(j, prop.Clocked(p.Chip)) {
			l.addLength(p, Wire, fmt.Sprintf("wire %s, %s", power.WireName(lead), c.Colour), j.Lead)
		}
		l.add(p, Plugs, fmt.Sprintf("connector pair, %d conductors", j.Conductors), 1, "pair", "where a lead is to come apart")
	}
	for _, f := range p.Feeds {
		for _, colour := range []string{plusColour, groundColour} {
			l.addLength(p, Wire, fmt.Sprintf("wire %s, %s", power.WireName(f.Wire), colour), f.WireMetre)
		}
		l.add(p, Plugs, "connector pair, 2 conductors, for supply", 1, "pair", "rated for the feed's amps")
	}
	m := prop.MaterialsFor(p)
	l.addLength(p, Shrink, "heat-shrink for solder pads", m.PadSleeves)
	l.addLength(p, Shrink, "heat-shrink for strip ends, wide", m.EndSleeves)
}

// feeds adds a fuse and a holder per feed: as in the file, or sized for the load.
func (l *List) feeds(p *prop.Prop, r *power.Report) {
	for _, f := range r.Feeds {
		size, bad := f.Check.FuseAmps, f.Check.Fuse == power.Bad || f.Check.Leads == power.Bad
		if size == 0 {
			size, bad = f.Check.Size, f.Check.SizeFits == power.Bad || f.Check.SizeLeads == power.Bad
		}
		name := fmt.Sprintf("blade fuse %s", words.Given(size, "A"))
		if size > 0 {
			l.add(p, Fuses, name, 1, "piece", "and a spare of each (common practice)")
		}
		if bad {
			l.warn(Fuses, name, "one is not good for its load or wire: see the plan before you buy")
		}
		l.add(p, Fuses, "fuse holder with lead", 1, "piece", "at the supply end")
	}
}

func (l *List) supply(p *prop.Prop, r *power.Report) {
	n := max(1, len(r.Supplies))
	note := ""
	switch {
	case n > 1:
		note = "for full level in white; the feeds to add for them are not in this list"
	case r.SuppliesLeast > 1:
		n, note = r.SuppliesLeast, "for full level in white, at least; no way to share the feeds was found"
	}
	l.add(p, Supplies, fmt.Sprintf("supply %s, %s", words.Given(p.Supply.Volts, "V"), words.Given(p.Supply.Amps, "A")), float64(n), "piece", note)
}

// data adds a level shifter and a resistor per output; a bulb needs none.
func (l *List) data(p *prop.Prop) {
	k, known := prop.KnownByName(p.Chip.Name)
	if known && k.Data == (prop.DataLine{}) {
		return
	}
	lines := 1.0
	if prop.Clocked(p.Chip) {
		lines = 2
	}
	l.add(p, DataParts, "level shifter to 5 V, one line", lines, "piece", "unless the controller's output has 5 V")
	l.add(p, DataParts, "resistor 33 to 470 ohms", lines, "piece", "in series at the controller's end (common practice)")
}

// finish sorts by group and rounds up to whole pieces and tenths of a length.
func (l *List) finish() {
	sorting.Stable(l.Items, func(a, b Item) int {
		if a.Group != b.Group {
			return slices.Index(groups, a.Group) - slices.Index(groups, b.Group)
		}
		return strings.Compare(a.Name, b.Name)
	})
	for i := range l.Items {
		x := &l.Items[i]
		if x.Unit == "m" || x.Unit == "ft" {
			x.Quantity = math.Ceil(10*x.Quantity-1e-6) / 10
		} else {
			x.Quantity = math.Ceil(x.Quantity - 1e-6)
		}
	}
	l.Unpriced = len(l.Items)
}
