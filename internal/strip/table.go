package strip

import (
	"math/rand/v2"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Scope is how much of a prop a fault concerns.
type Scope uint8

// The scopes.
const (
	Whole     Scope = iota // the prop, its controller or its supply
	OneRun                 // Fault.Run
	TwoRuns                // Fault.Run and Fault.Run2
	AtPixel                // Fault.Pixel alone
	FromPixel              // the way to Fault.Pixel: it and what follows it
	ChipsFrom              // the strip itself from Fault.Pixel on is of another kind
)

// Facts are what is known of a kind of fault, apart from its look.
type Facts struct {
	Kind  Kind
	Scope Scope
	// In a list, such as "data joint open".
	Name string
	// What to do about it; power off before any joint is touched.
	Remedy string
	// Of causes that look alike, the one with the least is tried first, 0 to 190:
	// a setting costs seconds, a joint minutes, a new pixel more (common practice).
	Effort int
	// Of a hundred fresh props, how many have it (common practice, and rough: a
	// few answers outweigh it).
	Chance float64
	// Light does not show it: it takes a meter.
	Unlit bool
	// The light comes and goes while the slots do not change.
	Unsteady bool
	// N is a strength that eyes do not tell exactly: the fault with another N is
	// the same fault.
	Graded bool
	// N is pixels too many, or too few when negative, in Run.
	Counted bool
	// What the remedy needs; chipName represents the name of the planned chip.
	bring []string
}

// chipName represents the name of the planned chip.
const chipName = "{chip}"

// Bring is what to have at hand for the remedy (common practice); nil for what
// is put right in a setting.
func (f Facts) Bring(c prop.Chip) []string {
	var out []string
	for _, b := range f.bring {
		out = append(out, strings.ReplaceAll(b, chipName, c.Name))
	}
	return out
}

// What remedies need (common practice).
var (
	bringJoint  = []string{"solder and iron", "3-wire lead", "heat-shrink"}
	bringPixels = append([]string{"a few pixels of " + chipName}, bringJoint...)
	bringStrip  = append([]string{"strip of " + chipName}, bringJoint...)
	bringSupply = []string{"voltmeter", "fuse and fuse holder", "supply wire", "solder and iron", "heat-shrink"}
)

// A row is a kind of fault: facts, fields, words and the effect in the strip.
type row struct {
	Facts
	kind Kind
	// Fields of Fault that it reads, and those of them that may be left out.
	reads, free field
	// A line as ParseFault reads it, with numbers from 1.
	sample string
	// The fault in large letters, in ever fewer words, and in a sentence.
	large    wording
	sentence func(f Fault, p *prop.Prop) string
	remedy   func(f Fault) string // what to do, where it is not the same for all of a kind; nil or empty for Facts.Remedy
	// Refuses values that cannot be; nil when any will do.
	check func(pl *plan, f Fault) error
	// What a prop may have, at the first pixel if it has a place; nil for
	// Fault{Kind}.
	every func(p *prop.Prop) []Fault
	// The prior beside others of its kind; nil for all alike.
	weight func(p *prop.Prop, f Fault) float64
	// Draws values likely for the kind; nil when there are none.
	draw func(pl *plan, f *Fault, rng *rand.Rand)
	// What a plan would say that follows the fault; nil when none can.
	built func(out *prop.Found, p *prop.Prop, f Fault)
	// Run and Run2 may be exchanged; it lies in the joint before Run, which stays
	// with the prop; it is about the end of Run that the data enters.
	eitherWay, inJoint, atEnd bool
	// Others that no name of a colour distinguishes from it, which every leaves
	// out; nil when there are none.
	alike func(p *prop.Prop, f Fault) []Fault
	effect
}

// An effect is what a fault changes in a strip. Those left nil change nothing.
// They are applied in this order, each for all faults, so that what comes later
// sees what came before.
type effect struct {
	// The way of the data through the runs.
	wire func(w *wiring, f Fault)
	// What the controller sends.
	send func(c *controller, f Fault)
	// The first chip along the wire, from 0, that nothing reaches.
	stop func(b *builder, f Fault) int
	// The number of slots of chips; then the rest of a chip: order, lights. Asked
	// once for each stretch of chips that are alike: those of a run, parted at the
	// pixels that faults name.
	chips, looks func(c *chip, f Fault)
	// Contact is lost at its chip now and then.
	loose bool
	// The light changes at random.
	sparks bool
	// Copper, once the lights are known.
	supply func(s *Strip, f Fault)
	// Supply wires, for a voltmeter.
	feeds func(c *copper, p *prop.Prop, f Fault)
}

// table has every kind, in the order they are offered in. Set in init since
// rows use what looks kinds up.
var (
	table  []*row
	byKind map[Kind]*row
)

func init() {
	table = slices.Concat(wholeRows, runRows, pixelRows)
	byKind = map[Kind]*row{}
	for _, r := range table {
		r.Facts.Kind = r.kind
		byKind[r.kind] = r
	}
}

// noRow is that of a kind that is not known.
var noRow = &row{}

func rowOf(k Kind) *row {
	if r := byKind[k]; r != nil {
		return r
	}
	return noRow
}

// FactsOf is what is known of a kind; zero for one that is not in the table.
func FactsOf(k Kind) Facts { return rowOf(k).Facts }

// known reports whether the kind is in the table.
func (k Kind) known() bool { return byKind[k] != nil }

// reads reports whether faults of the kind read a field.
func (k Kind) reads(f field) bool { return rowOf(k).reads&f != 0 }

// Alike lists the faults that cannot be told from f by the names of colours, and
// that Every leaves out for that.
func (f Fault) Alike(p *prop.Prop) []Fault {
	if alike := rowOf(f.Kind).alike; alike != nil {
		return alike(p, f)
	}
	return nil
}

// Every lists the faults of a kind that a prop may have. Those with a place are
// given at the first pixel only: the others differ in Pixel alone.
func Every(k Kind, p *prop.Prop) []Fault {
	r := rowOf(k)
	if r.every == nil {
		return []Fault{{Kind: k}}
	}
	out := r.every(p)
	for i := range out {
		out[i].Kind = k
	}
	return out
}

// jointWeight is how many places inside a run one joint made by hand is as
// likely to fail as (common practice; strip is reflowed by machine, joints are
// not).
const jointWeight = 20

// Weight is how likely a fault is beside others of its kind (common practice).
func (f Fault) Weight(p *prop.Prop) float64 {
	r, w := rowOf(f.Kind), 1.0
	if r.weight != nil {
		w = r.weight(p, f)
	}
	if r.Scope == FromPixel || r.Scope == ChipsFrom {
		if _, at := p.Find(f.Pixel); at == 0 {
			w *= jointWeight
		}
	}
	return w
}

// JointWeight is how much likelier the first pixel of a run is than another to
// have a fault of the kind.
func (f Facts) JointWeight() float64 {
	if f.Scope == FromPixel || f.Scope == ChipsFrom {
		return jointWeight
	}
	return 1
}

// Same reports whether two faults are one, apart from how strong it is and from
// which of two runs is named first.
func (f Fault) Same(g Fault) bool {
	r := rowOf(f.Kind)
	if f.Kind == g.Kind && r.Graded {
		g.N = f.N
	}
	if f.Kind == g.Kind && r.eitherWay && f.Run == g.Run2 {
		g.Run, g.Run2 = g.Run2, g.Run
	}
	return f == g
}

// MovesVolts reports whether a meter at the pixels sees faults of the kind.
func (k Kind) MovesVolts() bool { return rowOf(k).supply != nil || rowOf(k).feeds != nil }

// Universes is how many universes further the controller listens.
func (f Fault) Universes() int {
	var c controller
	if send := rowOf(f.Kind).send; send != nil {
		send(&c, f)
	}
	return c.universe
}

// Placed reports whether a fault of the kind sits at a pixel.
func (k Kind) Placed() bool { return k.reads(fieldPixel) }

// OfChannel reports whether the fault concerns one colour, Channel.
func (f Fault) OfChannel() bool { return f.Kind.reads(fieldChannel) }

// Built adds to out what a plan would say that follows the fault: counts,
// colour order, order of the runs, travel and start slot. It reports false when
// no plan can follow it.
func (f Fault) Built(out *prop.Found, p *prop.Prop) bool {
	r := rowOf(f.Kind)
	if r.built == nil {
		return false
	}
	before := *out
	r.built(out, p, f)
	return !same(before, *out)
}

// same reports whether two findings say the same of the plan.
func same(a, b prop.Found) bool {
	return a.Slot == b.Slot && a.Order == b.Order && slices.Equal(a.Runs, b.Runs) &&
		len(a.Pixels) == len(b.Pixels) && len(a.Reverse) == len(b.Reverse)
}

// Places are the pixels of the plan that a fault concerns; none for one of the
// whole prop.
func (f Fault) Places(p *prop.Prop) []prop.Span {
	whole := func(run int) prop.Span {
		if run < 0 || run >= len(p.Runs) {
			return prop.Span{First: 0, Last: -1}
		}
		first := p.FirstPixel(run)
		return prop.Span{First: first, Last: first + p.Runs[run].Pixels - 1}
	}
	switch rowOf(f.Kind).Scope {
	case AtPixel, FromPixel:
		return []prop.Span{{First: f.Pixel, Last: f.Pixel}}
	case ChipsFrom:
		return []prop.Span{{First: f.Pixel, Last: p.Pixels() - 1}}
	case OneRun:
		return []prop.Span{whole(f.Run)}
	case TwoRuns:
		return []prop.Span{whole(f.Run), whole(f.Run2)}
	}
	return nil
}

// allChannels are the channels of the planned chip.
func allChannels(p *prop.Prop) []patterns.Channel { return p.Chip.Order.Channels() }
