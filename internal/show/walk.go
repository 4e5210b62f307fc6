package show

import (
	"math"
	"time"

	"example.org/ringout/patterns"
)

// A walk is the position of a stepped pattern, in steps, and its speed. The position is
// computed from the elapsed time, so a late alarm skips steps and never runs several at
// once.
type walk struct {
	from  float64   // steps reached at since, with the fraction on the way
	since time.Time // when speed or place last changed
	speed float64   // steps per second, 0 when it stands still
	steps int       // of the pattern
	loops bool
}

// slack is the rounding tolerance, in steps: when the alarm for a step fires, that step
// must count as reached.
const slack = 1e-6

func (k *walk) at(now time.Time) float64 {
	p := k.from + k.speed*now.Sub(k.since).Seconds()
	if !k.loops {
		p = min(p, float64(k.steps-1))
	}
	return p
}

func (k *walk) step(now time.Time) int { return int(math.Floor(k.at(now) + slack)) }

// next is the time of the next step; false when there is none.
func (k *walk) next(now time.Time) (time.Time, bool) {
	if k.speed <= 0 || k.steps < 2 || !k.loops && k.step(now) >= k.steps-1 {
		return time.Time{}, false
	}
	s := (float64(k.step(now)) + 1 - k.from) / k.speed
	return k.since.Add(time.Duration(s * float64(time.Second))), true
}

// change applies a new Want. Unless it jumps, the walk continues from its position; a
// pause drops the fraction of a step.
func (k *walk) change(now time.Time, p patterns.Pattern, s patterns.Settings, w Want, jump bool) {
	from := k.at(now)
	if !w.Auto {
		from = float64(k.step(now))
	}
	k.steps, k.loops, k.speed = patterns.Steps(p, s), p.Loops, 0
	if w.Auto && p.Stepped {
		k.speed = patterns.ClampSpeed(p, s)
	}
	if jump {
		from = float64(patterns.StepAt(p, s, w.Step))
	}
	k.from, k.since = from, now
}
