package strip

import (
	"slices"

	"example.org/ringout/internal/prop"
)

// Alone are the faults that a run has when it lies on the bench by itself, not
// joined yet and first on the wire: its own faults, counted from its first pixel,
// and those of the controller and the supply, without those of the joint before
// it. alone is the run as a prop; faults that New refuses for it are left out.
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

// onRun is the part of a fault that lies on a run with the pixels first to last,
// from 0; false when there is none. The joint before the run does not belong to
// it.
func (f Fault) onRun(run, first, last int) (Fault, bool) {
	switch r := rowOf(f.Kind); {
	case r.Scope == Whole:
		return f, true
	case r.Scope == OneRun:
		return f, f.Run == run && !(r.inJoint && run > 0)
	case r.Scope == TwoRuns || f.Pixel > last:
		return f, false
	case r.Scope == ChipsFrom:
		f.Pixel = max(f.Pixel, first) // from before it on, all of this run are such chips
		return f, true
	case r.Scope == FromPixel && f.Pixel == first:
		return f, run == 0 // of a later run it is in the joint before it
	}
	return f, f.Pixel >= first
}
