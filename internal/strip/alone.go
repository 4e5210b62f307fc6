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
		reads := f.Kind.reads
		switch {
		case f.Kind == RunsSwapped, reads(fieldRun) && f.Run != run, f.Kind == Resistance && run > 0:
			continue
		case reads(fieldPixel) && f.Pixel > last:
			continue
		case (f.Kind == WrongOrder || f.Kind == WrongChip) && f.Pixel < first:
			f.Pixel = first // all of this run are such chips
		case reads(fieldPixel) && f.Pixel < first:
			continue
		case (f.Kind == OpenJoint || f.Kind == RailLost || f.Kind == Flicker) && f.Pixel == first && run > 0:
			continue // in the joint
		}
		if reads(fieldPixel) {
			f.Pixel -= first
		}
		f.Run = 0
		if _, err := New(alone, append(slices.Clone(out), f)...); err == nil {
			out = append(out, f)
		}
	}
	return out
}
