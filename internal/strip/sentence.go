package strip

import (
	"fmt"

	"example.org/ringout/internal/prop"
)

// Sentence describes the fault in one sentence, with the names of runs and with
// pixels counted from 1 at the data end.
func (f Fault) Sentence(p *prop.Prop) string {
	if say := rowOf(f.Kind).sentence; say != nil {
		return say(f, p)
	}
	return f.String() + "."
}

// place names the run or pixel of a fault.
func (f Fault) place(p *prop.Prop) string {
	if f.Kind.reads(fieldPixel) {
		return Spot(p, f.Pixel)
	}
	return p.RunText(f.Run)
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
	return fmt.Sprintf("pixel %d of %s (%d of the prop)", at+1, p.RunText(run), pixel+1)
}

// Before ends a sentence with the place of a break just before a pixel: the lead,
// a joint, or the strip.
func Before(p *prop.Prop, pixel int) string {
	run, at := p.Find(pixel)
	switch {
	case pixel == 0:
		return ": the lead from the controller is open"
	case at == 0 && run > 0:
		return fmt.Sprintf(": the joint between %s and %s is open", p.RunText(run-1), p.RunText(run))
	}
	return fmt.Sprintf(": the strip is broken between it and pixel %d", at)
}

// from ends a sentence about chips from a pixel on.
func from(at string, pixel int) string {
	if pixel == 0 {
		return ""
	}
	return ": from " + at + " on"
}

// planned is the pixel count of a run, 0 when the prop lacks it.
func planned(p *prop.Prop, run int) int {
	if run < 0 || run >= len(p.Runs) {
		return 0
	}
	return p.Runs[run].Pixels
}
