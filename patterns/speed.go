package patterns

import "slices"

// Nothing may flash a large area more than three times in a second (WCAG
// 2.3.1). A large area is a quarter of the pixels, since a strip on the bench
// can fill the view; on a short strip even one pixel is that much. The limits
// here allow two a second, because a bare prop is brighter and nearer than the
// screens the rule was made for. Package flash has the measure, and a test
// measures every pattern with it.

// Speeds are the steps per second that the screens offer, ascending.
var Speeds = []float64{0.2, 0.5, 1, 2, 3, 5, 8, 12, 20, 30, 40}

// MaxSpeed is the fastest speed offered. It stays below the 44 frames a
// second that the wire takes, so that no step is left out.
const MaxSpeed = 40

const (
	blinks     = 2   // times a second that a pixel or a large area may come and go
	wholeLimit = 2   // steps a second when each step changes every pixel
	shortLimit = 1.5 // steps a second when each step darkens a large area and lights another
	quarter    = 4   // on strips up to this long one pixel is a large area
)

// SpeedLimit is the most steps per second at which p may walk by itself.
func SpeedLimit(p Pattern, s Settings) float64 {
	if p.Fastest == nil {
		return MaxSpeed
	}
	return min(MaxSpeed, p.Fastest(s))
}

// ClampSpeed is s.Speed clamped to 0..SpeedLimit; NaN becomes 0.
func ClampSpeed(p Pattern, s Settings) float64 {
	if !(s.Speed > 0) {
		return 0
	}
	return min(s.Speed, SpeedLimit(p, s))
}

// NextSpeed is the next of Speeds above (dir > 0) or below (dir < 0), never
// past the pattern's limit.
func NextSpeed(p Pattern, s Settings, dir int) float64 {
	if dir > 0 {
		return min(nextUp(Speeds, s.Speed), SpeedLimit(p, s))
	}
	return nextDown(Speeds, s.Speed)
}

// walkLimit is for one pixel that walks: it comes back to the same pixel
// every s.Pixels steps.
func walkLimit(s Settings) float64 {
	if s.Pixels <= quarter {
		return shortLimit
	}
	return blinks * float64(s.Pixels)
}

// passLimit is for a walk whose tail changes colour: one pass a second.
func passLimit(s Settings) float64 {
	if s.Pixels <= quarter {
		return shortLimit
	}
	return float64(s.Pixels)
}

func nextUp(list []float64, v float64) float64 {
	for _, x := range list {
		if x > v {
			return x
		}
	}
	return list[len(list)-1]
}

func nextDown(list []float64, v float64) float64 {
	for _, x := range slices.Backward(list) {
		if x < v {
			return x
		}
	}
	return list[0]
}
