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

// Facts are the properties of a kind of fault, apart from its light.
type Facts struct {
	Kind  Kind
	Scope Scope
	// In a list, such as "data line open", wherever it is: see Fault.Name.
	Name string
	// What its cases are, such as "slots", where its scope does not say it: see Cases.
	Many string
	// What to do about it; power off before any joint is touched.
	Remedy string
	// Effort of the remedy, 0 to 190: of causes with the same light the one with
	// the least is tried first. A setting takes seconds, a joint minutes, a new
	// pixel more (common practice).
	Effort int
	// Prior: new props of 100 that have it (common practice, rough).
	Chance float64
	// The light does not show it: only a meter does.
	Unlit bool
	// The light changes while the slots do not.
	Unsteady bool
	// N is a strength that no one sees exactly: the fault with another N is the
	// same fault.
	Graded bool
	// N is pixels too many, or too few when negative, in Run.
	Counted bool
	// What the remedy needs, with chipName for the planned chip.
	bring []string
}

// Cases is what several cases of the fault are, as in "24 places".
func (f Facts) Cases() string {
	switch {
	case f.Many != "":
		return f.Many
	case f.Scope == AtPixel:
		return "pixels"
	case f.Scope == FromPixel, f.Scope == ChipsFrom:
		return "places"
	case f.Scope == OneRun:
		return "runs"
	case f.Scope == TwoRuns:
		return "pairs of runs"
	}
	return "cases"
}

// chipName is replaced by the name of the planned chip.
const chipName = "{chip}"

// Bring is the tools and parts for the remedy (common practice); nil for a
// setting.
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

// A row defines a kind of fault: facts, fields, texts and the effect in the strip.
type row struct {
	Facts
	kind Kind
	// Fields of Fault that it reads, and those of them that may be left out.
	reads, optional field
	// A line as ParseFault reads it, with numbers from 1.
	sample string
	// Another name that ParseFault reads, with a line of its own; none for most.
	alias       Kind
	aliasSample string
	// Texts for large letters, each shorter than the one before; the sentence.
	large    wording
	sentence func(f Fault, p *prop.Prop) string
	remedy   func(f Fault, p *prop.Prop) string // the remedy where it depends on the fault; nil or empty text for Facts.Remedy
	named    func(f Fault, p *prop.Prop) string // the name in a list where it depends on the fault; nil or empty text for Facts.Name
	// Refuses impossible values; nil when all are possible.
	check func(pl *plan, f Fault) error
	// The faults that a prop may have, at the first pixel if it has a place; nil
	// for Fault{Kind}.
	every func(p *prop.Prop) []Fault
	// The weight among faults of its kind; nil for 1.
	weight func(p *prop.Prop, f Fault) float64
	// Draws values of N, N2 or Order for Random; nil when it reads none.
	draw func(pl *plan, f *Fault, rng *rand.Rand)
	// Adds to out the plan of the prop as built; nil when no plan has the fault.
	built func(out *prop.Found, p *prop.Prop, f Fault)
	// eitherWay: Run and Run2 may be exchanged. inJoint: it lies in the joint
	// before Run. atEnd: it concerns the end of Run where data enters.
	eitherWay, inJoint, atEnd bool
	// Faults with the same colour names at every look, which every leaves out;
	// nil when there are none.
	sameLight func(p *prop.Prop, f Fault) []Fault
	effect
}

// An effect is the change that a fault makes in a strip; nil functions change
// nothing. They are called in this order, each for all faults.
type effect struct {
	// Changes the order of the runs along the data.
	wire func(w *wiring, f Fault)
	// Changes what the controller sends.
	send func(c *controller, f Fault)
	// The first chip along the wire, from 0, that no data or supply reaches.
	stop func(b *builder, f Fault) int
	// chips changes the number of slots, then looks the order and the channels.
	// Called once for each stretch of equal chips: a run is split at the pixels
	// that faults name.
	chips, looks func(c *chip, f Fault)
	// The contact before its chip is loose.
	loose bool
	// The light changes at random.
	sparks bool
	// Changes the supply once the lights are known.
	supply func(s *Strip, f Fault)
	// Changes the supply network: for a voltmeter, and for the light when metered.
	feeds func(c *copper, p *prop.Prop, f Fault)
}

// table has every kind, in the order in which they are listed. It is set in init
// because functions of the rows look up kinds.
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

// noRow is the row of an unknown kind.
var noRow = &row{}

// rowOf is the row of a kind; noRow for an unknown one.
func rowOf(k Kind) *row {
	if r := byKind[k]; r != nil {
		return r
	}
	return noRow
}

// FactsOf are the facts of a kind; zero for an unknown one.
func FactsOf(k Kind) Facts { return rowOf(k).Facts }

// known reports whether the kind is in the table.
func (k Kind) known() bool { return byKind[k] != nil }

// reads reports whether faults of the kind read a field.
func (k Kind) reads(f field) bool { return rowOf(k).reads&f != 0 }

// Alike lists the faults that have the same colour names as f at every look and
// that Every therefore leaves out.
func (f Fault) Alike(p *prop.Prop) []Fault {
	if alike := rowOf(f.Kind).sameLight; alike != nil {
		return alike(p, f)
	}
	return nil
}

// Every lists the faults of a kind that a prop may have. Faults with a place are
// listed for the first pixel only.
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

// jointWeight is the weight of a joint against a place inside a run: strip is
// soldered by machine, joints by hand (common practice).
const jointWeight = 20

// Weight is the prior of a fault relative to others of its kind (common
// practice).
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

// JointWeight is the weight of a fault of the kind at the first pixel of a run
// against another pixel.
func (f Facts) JointWeight() float64 {
	if f.Scope == FromPixel || f.Scope == ChipsFrom {
		return jointWeight
	}
	return 1
}

// Same reports whether two faults are equal, apart from their strength and the
// order of their two runs.
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

// MovesVolts reports whether faults of the kind change the voltage at the pixels.
func (k Kind) MovesVolts() bool { return rowOf(k).supply != nil || rowOf(k).feeds != nil }

// Universes is the offset, in universes, of a controller with the fault.
func (f Fault) Universes() int {
	var c controller
	if send := rowOf(f.Kind).send; send != nil {
		send(&c, f)
	}
	return c.universe
}

// Placed reports whether a fault of the kind sits at a pixel.
func (k Kind) Placed() bool { return k.reads(fieldPixel) }

// OfChannel reports whether the fault concerns one channel, Fault.Channel.
func (f Fault) OfChannel() bool { return f.Kind.reads(fieldChannel) }

// Built adds to out the plan of the prop as built: counts, colour order, order of
// the runs, travel and start slot. It reports false when no plan has the fault.
func (f Fault) Built(out *prop.Found, p *prop.Prop) bool {
	r := rowOf(f.Kind)
	if r.built == nil {
		return false
	}
	before := *out
	r.built(out, p, f)
	return !same(before, *out)
}

// same reports whether two plans as built are equal.
func same(a, b prop.Found) bool {
	return a.Slot == b.Slot && a.Order == b.Order && slices.Equal(a.Runs, b.Runs) &&
		len(a.Pixels) == len(b.Pixels) && len(a.Reverse) == len(b.Reverse)
}

// Places are the pixels of the plan that have the fault; none for one of the
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
