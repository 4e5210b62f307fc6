package strip

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Kind is a kind of fault.
type Kind string

// The faults that can be put in. Which fields of Fault each reads is in its
// row.
//
// A fault "from Pixel on" that stops data or supply follows the wire as it
// really runs; one that lies in the chips follows the plan.
//
// To add one:
//
//  1. name it here;
//  2. give it a row in rows_whole.go, rows_run.go or rows_pixel.go: facts, words,
//     and its effect in the strip. The row is all that the check-out, the record
//     and the screens know of it. Its fields are explained in table.go. A run may be
//     of one pixel, and a chip may have whites: where its light is then that of
//     another kind, leave it out of every and name it in the other's alike, as
//     stuckWhites does, so that a finding lists both. Of a fault from a pixel on
//     nothing is left out: where one place looks as another kind does (the first
//     pixel of the last run, the last pixel), the check-out lists both by itself;
//  3. give its look a line with a source in rows_test.go;
//  4. write its effect a second time, the slow way, in chain_test.go (slowLamp or
//     what calls it);
//  5. if it reads an order or a number, or shuts others out of its place, add
//     that to sample, fits and dead in edges_test.go;
//  6. write what it means into internal/cli/pages/json-lines.md, under "What the
//     faults mean";
//  7. put in the results and looks of check-outs as they are now: RINGOUT_FIGURES=write go
//     test -timeout 30m ./internal/checkout, and .ci/goldens ./tui ./tui/check
//     (two minutes each when nothing else runs). The figures are written even where
//     a test fails: run it again once it is mended. Look at the differences: one kind
//     more makes check-outs longer and looks more alike, the first question may
//     become another, and tests that draw faults at random draw others.
//     TestEveryFaultOfSmallProps (promises_belief_test.go) bounds the means a
//     twentieth above what they were. A test of one fault that takes more answers
//     than it may, or ends in a list of two, says which two kinds look alike now (of
//     a fault that is none of the list: outside, in unlisted_test.go): give the
//     engine a look that parts them (propose.go), name both (step 2) where no light
//     does, or raise its bound with the reason.
//
// Where one of 1 to 6 is missing a test fails: go test ./internal/strip, and go
// test ./internal/cli -run PageHasEveryFault.
//
// An effect can darken, lack or hold channels, change their order or number,
// and stop data or supply. What none of these can do, such as to dim one
// colour, takes a field of its own in chip (build.go) and span (span.go).
const (
	NoSupply         Kind = "no-supply"         // all dark
	WrongEnd         Kind = "wrong-end"         // data soldered to the output end: all dark
	WrongAddress     Kind = "wrong-address"     // the controller listens on another universe: N is added to it
	SlotShift        Kind = "slot-shift"        // the controller starts N slots later than planned
	WrongPacking     Kind = "wrong-packing"     // the controller uses all 512 slots of a universe where whole pixels were planned, or the reverse
	UniversesSwapped Kind = "universes-swapped" // the controller has universes N and N2 exchanged
	HiddenFirst      Kind = "hidden-first"      // a pixel before the first, such as a level shifter, takes the first pixel's data
	Mirrored         Kind = "mirrored"          // the whole prop is wired from its far end
	Grouped          Kind = "grouped"           // each address drives N lights where one was planned
	Sag              Kind = "sag"               // voltage falls along the strip: red and dim towards the far end; N is milliohms a metre there and back, 0 for 1500
	Sparkle          Kind = "sparkle"           // the data is disturbed: pixels flash in random colours
	RunBackwards     Kind = "run-backwards"     // Run is soldered in by its output end: dark from its first pixel on
	RunMirrored      Kind = "run-mirrored"      // Run is fed from its other end on the drawing
	RunsSwapped      Kind = "runs-swapped"      // Run and Run2 have changed places in the wiring
	RunsParallel     Kind = "runs-parallel"     // Run2 is fed by the data line of Run, side by side with it
	Count            Kind = "count"             // Run has N pixels more than planned (fewer when negative); with OrMore, N or any number above
	RunOrder         Kind = "run-order"         // the chips of Run alone have the wire order Order
	RunChip          Kind = "run-chip"          // the chips of Run alone take N slots, in Order if given
	RunChannel       Kind = "run-channel"       // the whole of Run lacks Channel
	Resistance       Kind = "resistance"        // N milliohms too much in one conductor of the joint before Run; before the first, of its supply wires
	OpenJoint        Kind = "open-joint"        // no data from Pixel on (inside a run or at a joint)
	RailLost         Kind = "rail-lost"         // no supply from Pixel on: dark, and no data passes
	WrongOrder       Kind = "wrong-order"       // chips from Pixel on have the wire order Order
	WrongChip        Kind = "wrong-chip"        // chips from Pixel on take N slots instead of the planned number, in Order if given
	Flicker          Kind = "flicker"           // from Pixel on the light comes and goes
	DeadStop         Kind = "dead-stop"         // Pixel is dark and passes no data (chips with a backup line get past one such pixel, not past two)
	DeadPixel        Kind = "dead-pixel"        // Pixel is dark, data passes
	DeadChannel      Kind = "dead-channel"      // Pixel lacks Channel
	StuckOn          Kind = "stuck-on"          // Pixel is fully lit whatever is sent, data passes
	StuckChannel     Kind = "stuck-channel"     // Pixel's Channel is fully lit whatever is sent
)

// A Fault is one thing wrong with a strip. Fields that its kind does not read
// are zero.
type Fault struct {
	Kind Kind
	// Runs of the plan, from 0.
	Run, Run2 int
	// The pixel in data order of the plan, from 0.
	Pixel int
	// A number in the unit of the kind: universes or slots added, universes by
	// number, lights an address, pixels more, slots of a chip (3 to 5), milliohms
	// a metre (Sag) or milliohms (Resistance).
	N, N2 int
	// The colour that fails, and the order in which the chips take their slots.
	Channel patterns.Channel
	// Of a count: it may be more than N as well, since no light shows how many. At
	// this place among the fields it makes a Fault no larger: there are many thousand.
	OrMore bool
	Order  prop.Order
}

// A field is a field of Fault that a kind reads, a bit each.
type field uint8

const (
	fieldPixel field = 1 << iota
	fieldRun
	fieldRun2
	fieldN
	fieldN2
	fieldChannel
	fieldOrder
	fieldOrMore
)

// Kinds lists every kind of fault, in the order of the table.
func Kinds() []Kind {
	out := make([]Kind, len(table))
	for i, r := range table {
		out[i] = r.kind
	}
	return out
}
