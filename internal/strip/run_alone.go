package strip

import (
	"slices"

	"example.org/ringout/internal/prop"
)

// Alone is what remains of a prop's faults when one of its runs lies on the
// bench by itself, not joined yet and the first on the wire: its own faults,
// counted from its first pixel, and those of the controller and the supply.
// What sat in the joint before it is not there. alone is the run as a prop of
// its own; what that can't have is left out.
func Alone(p *prop.Prop, run int, alone *prop.Prop, faults []Fault) []Fault {
	first := p.FirstPixel(run)
	last := first + p.Runs[run].Pixels - 1
	var out []Fault
	for _, f := range faults {
		f, stays := f.onRun(run, first, last)
		if !stays {
			continue
		}
		if f.Kind.reads(fieldPixel) {
			f.Pixel -= first
		}
		f.Run = 0
		if _, err := New(alone, append(slices.Clone(out), f)...); err == nil {
			out = append(out, f)
		}
	}
	return out
}

// onRun is what of a fault lies on a run that is on the bench by itself, whose
// pixels are first to last, from 0; false when it does not. A joint before the
// run belongs to the lead, which stays with the prop.
func (f Fault) onRun(run, first, last int) (Fault, bool) {
	switch r := rowOf(f.Kind); {
	case r.Scope == Whole:
		return f, true
	case r.Scope == OneRun:
		return f, f.Run == run && !(r.inJoint && run > 0)
	case r.Scope == TwoRuns || f.Pixel > last:
		return f, false
	case r.Scope == ChipsFrom && f.Pixel < first:
		f.Pixel = first // all of this run are such chips
		return f, true
	case r.Scope == FromPixel && f.Pixel == first:
		return f, run == 0 // else it sat in the joint
	}
	return f, f.Pixel >= first
}
