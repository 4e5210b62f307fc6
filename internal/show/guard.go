package show

import (
	"time"

	"example.org/ringout/patterns"
	"example.org/ringout/patterns/flash"
)

// A guard holds back frames that would flash a large area more than three times in a
// second (WCAG 2.3.1), such as those of a held key, a probe, or a level that goes up
// and down. Patterns in Auto keep their own limits and are never held.
type guard struct {
	meter *flash.Meter
	start time.Time
	holds int // frames held so far
}

// newGuard allows one change less than the rule, since a dark frame is never
// held back.
func newGuard(pixels int, now time.Time) guard {
	return guard{meter: flash.NewMeter(pixels, flash.Changes-1), start: now}
}

// pass reports whether the frame may go out now, and counts it if so. A dark frame
// always may.
func (g *guard) pass(f patterns.Frame, now time.Time) bool {
	t := now.Sub(g.start)
	if !allDark(f) && g.meter.Peek(f, t).TooFast() {
		g.holds++
		return false
	}
	g.meter.Add(f, t)
	return true
}

func allDark(f patterns.Frame) bool {
	for _, c := range f {
		if !c.Dark() {
			return false
		}
	}
	return true
}
