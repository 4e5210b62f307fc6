// Package strip is a simulated pixel strip: the slots of its universes in, the
// light of every physical pixel out, with faults that can be put in; and a
// node that really listens on UDP and drives one.
//
// Units: pixels and runs count from 0. "Place" means where a pixel sits on the
// prop, not when the data reaches it.
package strip

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Kind is a kind of fault.
type Kind string

// The faults that can be put in. Which fields of Fault each reads stands
// beside it.
const (
	NoSupply     Kind = "no-supply"     // all dark
	WrongEnd     Kind = "wrong-end"     // data soldered to the output end: all dark
	WrongAddress Kind = "wrong-address" // the controller listens on another universe: N is added to it
	OpenJoint    Kind = "open-joint"    // no data from Pixel on (inside a run or at a joint)
	RunBackwards Kind = "run-backwards" // Run is soldered in by its output end: dark from its first pixel on
	DeadStop     Kind = "dead-stop"     // Pixel is dark and passes no data
	DeadPixel    Kind = "dead-pixel"    // Pixel is dark, data passes
	DeadChannel  Kind = "dead-channel"  // Pixel lacks Channel
	RailLost     Kind = "rail-lost"     // supply rail open from Pixel on: dark or nearly
	WrongOrder   Kind = "wrong-order"   // chips from Pixel on have the wire order Order
	WrongChip    Kind = "wrong-chip"    // chips from Pixel on take N slots instead of the planned number
	Mirrored     Kind = "mirrored"      // the whole prop is wired from its far end
	RunMirrored  Kind = "run-mirrored"  // Run is fed from its other end on the drawing
	RunsSwapped  Kind = "runs-swapped"  // Run and Run2 have changed places in the wiring
	Count        Kind = "count"         // Run has N pixels more than planned (fewer when negative)
	SlotShift    Kind = "slot-shift"    // the controller starts N slots later than planned
	Grouped      Kind = "grouped"       // each address drives N lights where one was planned
	Flicker      Kind = "flicker"       // from Pixel on the light comes and goes
	Sag          Kind = "sag"           // voltage falls along the strip: red and dim towards the far end
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

// Light is what a prop shows: for each run of the plan, the colours of the
// physical pixels in its place on the prop, counted from the end where the
// plan says data enters. A run that has more or fewer pixels than planned has
// a longer or shorter slice.
type Light [][]patterns.Colour
