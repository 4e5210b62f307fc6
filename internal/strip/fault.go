package strip

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Kind is a kind of fault.
type Kind string

// The faults that can be put in. Which fields of Fault each reads stands
// beside it.
//
// A fault "from Pixel on" that stops data or supply follows the wire as it
// really runs; one that lies in the chips follows the plan.
//
// To add one: 1. name it here and in kinds; 2. give it its effect in wire,
// builder or light; 3. give it a sentence; 4. give its look a row with a
// source in the tests.
const (
	NoSupply     Kind = "no-supply"     // all dark
	WrongEnd     Kind = "wrong-end"     // data soldered to the output end: all dark
	WrongAddress Kind = "wrong-address" // the controller listens on another universe: N is added to it
	OpenJoint    Kind = "open-joint"    // no data from Pixel on (inside a run or at a joint)
	RunBackwards Kind = "run-backwards" // Run is soldered in by its output end: dark from its first pixel on
	DeadStop     Kind = "dead-stop"     // Pixel is dark and passes no data (chips with a backup line get past one such pixel, not past two)
	DeadPixel    Kind = "dead-pixel"    // Pixel is dark, data passes
	DeadChannel  Kind = "dead-channel"  // Pixel lacks Channel
	RailLost     Kind = "rail-lost"     // no supply from Pixel on: dark, and no data passes
	WrongOrder   Kind = "wrong-order"   // chips from Pixel on have the wire order Order
	WrongChip    Kind = "wrong-chip"    // chips from Pixel on take N slots instead of the planned number, in Order if given
	Mirrored     Kind = "mirrored"      // the whole prop is wired from its far end
	RunMirrored  Kind = "run-mirrored"  // Run is fed from its other end on the drawing
	RunsSwapped  Kind = "runs-swapped"  // Run and Run2 have changed places in the wiring
	Count        Kind = "count"         // Run has N pixels more than planned (fewer when negative)
	SlotShift    Kind = "slot-shift"    // the controller starts N slots later than planned
	WrongPacking Kind = "wrong-packing" // the controller uses all 512 slots of a universe where whole pixels were planned, or the reverse
	Grouped      Kind = "grouped"       // each address drives N lights where one was planned
	Flicker      Kind = "flicker"       // from Pixel on the light comes and goes
	Sag          Kind = "sag"           // voltage falls along the strip: red and dim towards the far end; N is milliohms a metre there and back, 0 for 1500
	Resistance   Kind = "resistance"    // N milliohms too much in one conductor of the joint before Run; before the first, of its supply wires
)

// A Fault is one thing wrong with a strip.
type Fault struct {
	Kind    Kind
	Run     int
	Run2    int
	Pixel   int // in data order of the plan
	N       int
	Channel patterns.Channel
	Order   prop.Order
}

// A field is a field of Fault that a kind reads.
type field uint8

const (
	fieldPixel field = 1 << iota
	fieldRun
	fieldRun2
	fieldN
	fieldChannel
	fieldOrder
)

// kinds has the fields of every kind, in the order they are offered in.
var kinds = []struct {
	kind   Kind
	fields field
	sample string // as typed
}{
	{NoSupply, 0, "no-supply"},
	{WrongEnd, 0, "wrong-end"},
	{WrongAddress, fieldN, "wrong-address by 1"},
	{OpenJoint, fieldPixel, "open-joint pixel 37"},
	{RunBackwards, fieldRun, "run-backwards run 2"},
	{DeadStop, fieldPixel, "dead-stop pixel 20"},
	{DeadPixel, fieldPixel, "dead-pixel pixel 20"},
	{DeadChannel, fieldPixel | fieldChannel, "dead-channel pixel 20 colour blue"},
	{RailLost, fieldPixel, "rail-lost pixel 37"},
	{WrongOrder, fieldPixel | fieldOrder, "wrong-order pixel 1 order RGB"},
	{WrongChip, fieldPixel | fieldN | fieldOrder, "wrong-chip pixel 37 slots 4"},
	{Mirrored, 0, "mirrored"},
	{RunMirrored, fieldRun, "run-mirrored run 2"},
	{RunsSwapped, fieldRun | fieldRun2, "runs-swapped run 1 run 2"},
	{Count, fieldRun | fieldN, "count run 2 by -1"},
	{SlotShift, fieldN, "slot-shift by 1"},
	{WrongPacking, 0, "wrong-packing"},
	{Grouped, fieldN, "grouped by 3"},
	{Flicker, fieldPixel, "flicker pixel 37"},
	{Sag, fieldN, "sag by 1500"},
	{Resistance, fieldRun | fieldN, "resistance run 2 by 1000"},
}

// Kinds lists every kind of fault.
func Kinds() []Kind {
	out := make([]Kind, len(kinds))
	for i, k := range kinds {
		out[i] = k.kind
	}
	return out
}

// known reports whether the kind is in the list.
func (k Kind) known() bool {
	for i := range kinds {
		if kinds[i].kind == k {
			return true
		}
	}
	return false
}

// reads reports whether faults of the kind read a field.
func (k Kind) reads(f field) bool {
	for i := range kinds {
		if kinds[i].kind == k {
			return kinds[i].fields&f != 0
		}
	}
	return false
}
