package show

import (
	"fmt"
	"math"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
)

// A limiter lowers the level of a frame until the current that package power
// estimates for it, idle pixels included, is within the supply's continuous
// limit. It works on the rounded values that are sent. Every frame for the
// Output passes through take.
type limiter struct {
	channels []patterns.Channel
	idle     float64 // amps of one dark pixel
	unit     float64 // amps of one step of one channel
	max      float64 // amps allowed
}

func newLimiter(p *prop.Prop) (limiter, error) {
	if !(p.Supply.Amps > 0) || math.IsInf(p.Supply.Amps, 0) {
		return limiter{}, fmt.Errorf("supply of %q: %s; give the amps printed on its plate: the light is kept within them",
			p.Name, words.Given(p.Supply.Amps, "A"))
	}
	share := p.Supply.Share()
	if !(share > 0) {
		share = prop.ContinuousShare // an invalid share must not raise the limit
	}
	l := limiter{channels: p.Chip.Order.Channels(), max: p.Supply.Amps * min(share, 1)}
	l.idle = power.PixelAmps(p.Chip, patterns.Colour{})
	l.unit = (power.PixelAmps(p.Chip, patterns.Colour{}.With(l.channels[0], 255)) - l.idle) / 255
	return l, nil
}

// A dimming is the limiter's result for a frame.
type dimming struct {
	level   float64 // in force
	amps    float64 // estimated
	lowered bool    // the level is below the wanted one
	noLight bool    // even the lowest level exceeds max, so the frame is dark; its idle current may still exceed max
}

// take appends the frame to dst[:0] at the highest level that the supply
// carries, at most level, which is clamped to 0 to 1.
func (l *limiter) take(dst, f patterns.Frame, level float64) (patterns.Frame, dimming) {
	level = patterns.CleanLevel(level)
	h := l.count(f)
	r := dimming{level: l.highest(&h, len(f), level)}
	r.amps = l.amps(&h, len(f), r.level)
	r.lowered = r.level < level || !(r.amps <= l.max)
	r.noLight = r.lowered && r.level == 0
	table := dimTable(r.level)
	dst = append(dst[:0], f...)
	for i := range dst {
		c := &dst[i]
		c.R, c.G, c.B, c.W, c.C = table[c.R], table[c.G], table[c.B], table[c.W], table[c.C]
	}
	return dst, r
}

// A histogram counts the channels of a frame by value, so that the current at any level
// takes 256 steps for a strip of any length.
type histogram [256]int

func (l *limiter) count(f patterns.Frame) (h histogram) {
	for _, c := range f { // every chip has these three
		h[c.R]++
		h[c.G]++
		h[c.B]++
	}
	for _, ch := range l.channels {
		if ch == patterns.White || ch == patterns.Cool {
			for _, c := range f {
				h[c.Get(ch)]++
			}
		}
	}
	return h
}

// amps is the estimated current of a frame of a given number of pixels at a level.
func (l *limiter) amps(h *histogram, pixels int, level float64) float64 {
	sum := 0
	for v, n := range h {
		if n > 0 {
			sum += n * int(patterns.DimValue(uint8(v), level))
		}
	}
	return l.idle*float64(pixels) + l.unit*float64(sum)
}

// highest is the highest level, in steps of a thousandth, that fits; or 0. The
// current never falls as the level rises, so bisection finds it.
func (l *limiter) highest(h *histogram, pixels int, level float64) float64 {
	if l.amps(h, pixels, level) <= l.max {
		return level
	}
	const grain = 1000
	lo, hi := 0, int(math.Ceil(level*grain)) // hi does not fit, or is not below level
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if l.amps(h, pixels, float64(mid)/grain) <= l.max {
			lo = mid
		} else {
			hi = mid
		}
	}
	return float64(lo) / grain
}

func dimTable(level float64) (t [256]uint8) {
	for v := range t {
		t[v] = patterns.DimValue(uint8(v), level)
	}
	return t
}
