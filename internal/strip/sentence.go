package strip

import (
	"fmt"

	"example.org/ringout/internal/prop"
)

// Sentence says in plain words what is wrong, with the names of runs and with
// pixels counted from 1 at the data end.
func (f Fault) Sentence(p *prop.Prop) string {
	switch f.Kind {
	case NoSupply:
		return "The prop has no supply."
	case WrongEnd:
		return "The data wire is soldered to the output end of the prop."
	case WrongAddress:
		return fmt.Sprintf("The controller listens on universe %d instead of %d.", int(p.Address.Universe)+f.N, p.Address.Universe)
	case SlotShift:
		return fmt.Sprintf("The controller starts at slot %d instead of %d.", p.Address.Slot+f.N+1, p.Address.Slot+1)
	case WrongPacking:
		if p.Address.Packing == prop.Straddle {
			return "The controller keeps pixels whole in a universe where all 512 slots were planned to be used."
		}
		return "The controller uses all 512 slots of a universe where whole pixels were planned."
	case Mirrored:
		return "The prop is wired from its far end."
	case Grouped:
		return fmt.Sprintf("One address drives %d lights where one was planned.", f.N)
	case Sag:
		return "The voltage falls along the prop: white turns red and dim towards the far end."
	}
	if f.Kind == Resistance {
		return fmt.Sprintf("There are %.2f Ω too much in %s.", float64(f.N)/1000, copperName(p, f.Run))
	}
	if f.Kind.reads(fieldRun) {
		return f.runSentence(p)
	}
	return f.pixelSentence(p)
}

// runSentence is for faults of a run.
func (f Fault) runSentence(p *prop.Prop) string {
	run := capital(runAt(p, f.Run))
	switch f.Kind {
	case RunBackwards:
		return run + " is soldered in by its output end, so no data gets into it or past it."
	case RunMirrored:
		return run + " is fed from its other end."
	case RunsSwapped:
		return fmt.Sprintf("%s and %s have changed places in the wiring.", run, runAt(p, f.Run2))
	}
	change, have := "more", f.N
	if f.N < 0 {
		change, have = "fewer", -f.N
	}
	return fmt.Sprintf("%s has %s %s than planned: %d instead of %d.", run, pixelCount(have), change, planned(p, f.Run)+f.N, planned(p, f.Run))
}

// pixelSentence is for faults at or from a pixel.
func (f Fault) pixelSentence(p *prop.Prop) string {
	at := Spot(p, f.Pixel)
	switch f.Kind {
	case OpenJoint:
		return "No data reaches " + at + Before(p, f.Pixel) + "."
	case DeadStop:
		return capital(at) + " is dead and passes no data on."
	case DeadPixel:
		return capital(at) + " is dark; data passes through it."
	case DeadChannel:
		return fmt.Sprintf("%s has no %s.", capital(at), f.Channel)
	case RailLost:
		return "The supply is lost from " + at + " on."
	case WrongOrder:
		return fmt.Sprintf("The chips have the colour order %s instead of %s%s.", f.Order, p.Chip.Order, from(at, f.Pixel))
	case WrongChip:
		return fmt.Sprintf("The chips take %d slots instead of %d%s.", f.N, p.Chip.Order.Slots(), from(at, f.Pixel))
	case Flicker:
		return "The light comes and goes from " + at + " on."
	}
	return f.String() + "."
}

// Spot names a pixel by its run and its place there, both counted from 1:
// `pixel 1 of run "middle ring" (37 of the prop)`.
func Spot(p *prop.Prop, pixel int) string {
	run, at := p.Find(pixel)
	switch {
	case run < 0:
		return fmt.Sprintf("pixel %d", pixel+1)
	case len(p.Runs) == 1:
		return fmt.Sprintf("pixel %d", pixel+1)
	}
	return fmt.Sprintf("pixel %d of %s (%d of the prop)", at+1, runName(p, run), pixel+1)
}

// Before says what lies just before a pixel on the way of the data, as an
// ending to a sentence.
func Before(p *prop.Prop, pixel int) string {
	run, at := p.Find(pixel)
	switch {
	case pixel == 0:
		return ": the lead from the controller is open"
	case at == 0 && run > 0:
		return fmt.Sprintf(": the joint between %s and %s is open", runName(p, run-1), runName(p, run))
	}
	return fmt.Sprintf(": the strip is broken between it and pixel %d", at)
}

// from ends a sentence about chips from a pixel on.
func from(at string, pixel int) string {
	if pixel == 0 {
		return ""
	}
	return " from " + at + " on"
}

// runAt names a run, whether the prop has it or not.
func runAt(p *prop.Prop, run int) string {
	if run < 0 || run >= len(p.Runs) {
		return fmt.Sprintf("run %d", run+1)
	}
	return runName(p, run)
}

// planned is the pixel count of a run, 0 when the prop lacks it.
func planned(p *prop.Prop, run int) int {
	if run < 0 || run >= len(p.Runs) {
		return 0
	}
	return p.Runs[run].Pixels
}

// pixelCount writes a number of pixels.
func pixelCount(n int) string {
	if n == 1 {
		return "1 pixel"
	}
	return fmt.Sprintf("%d pixels", n)
}

// capital makes the first letter of a sentence a capital one.
func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(rune(s[0]-32)) + s[1:]
}
