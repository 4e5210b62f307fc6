package flash

import (
	"time"

	"example.org/ringout/patterns"
)

// A pixel follows the light of one pixel.
type pixel struct {
	last    patterns.Colour
	general track
	red     track
	changes history
}

// step takes a new colour and adds what changed to the counts up and down.
func (p *pixel) step(c patterns.Colour, t time.Duration, up, down *[2]int) {
	p.last = c
	red, sat := Red(c)
	g := p.general.to(Luminance(c), true, MinChange)
	r := p.red.to(red, sat, MinRed)
	count(g, 0, up, down)
	count(r, 1, up, down)
	if g != 0 || r != 0 {
		p.changes.add(t)
	}
}

func count(dir int8, k int, up, down *[2]int) {
	switch {
	case dir > 0:
		up[k]++
	case dir < 0:
		down[k]++
	}
}

// A track finds the changes in one value: it keeps the last extreme and the
// direction in which it was reached.
type track struct {
	extreme   float32
	saturated bool // the extreme counts, for red
	direction
}

// direction is that of the last change: 1 up, -1 down, 0 before the first.
type direction struct{ dir int8 }

// to moves to v. It returns 1 or -1 for a change in the opposite direction of
// at least min of which one state counts, otherwise 0.
func (k *track) to(v float64, counts bool, min float64) int8 {
	x := float32(v)
	d := x - k.extreme
	way := int8(1)
	if d < 0 {
		way, d = -1, -d
	}
	const slack = 1e-6 // of float32, on the strict side
	switch {
	case way == k.dir: // further the same way
		k.extreme, k.saturated = x, counts
		return 0
	case float64(d)+slack < min, !counts && !k.saturated:
		return 0
	}
	k.extreme, k.saturated, k.dir = x, counts, way
	return way
}

// area takes whether a large area became brighter or darker at this frame and
// adds each reversal to h. When both happened, the reversal counts first.
func (d *direction) area(up, down bool, t time.Duration, h *history) {
	for range 2 {
		switch {
		case up && d.dir <= 0:
			d.dir, up = 1, false
			h.add(t)
		case down && d.dir >= 0:
			d.dir, down = -1, false
			h.add(t)
		}
	}
}

// A history is the times of the latest changes, as many as break the rule.
type history struct {
	at [2*MaxPerSecond + 1]time.Duration
	n  uint8 // filled, up to len(at)
	i  uint8 // where the next one goes
}

func (h *history) add(t time.Duration) {
	h.at[h.i] = t
	h.i = (h.i + 1) % uint8(len(h.at))
	h.n = min(h.n+1, uint8(len(h.at)))
}

// within counts the changes in the second that ends at t, up to one more than
// the rule allows.
func (h *history) within(t time.Duration) int {
	k := 0
	for _, at := range h.at[:h.n] {
		if t-at <= Window {
			k++
		}
	}
	return k
}

// over reports whether the second that ends at t has more than most changes.
func (h *history) over(t time.Duration, most int) bool {
	size := len(h.at)
	return int(h.n) > most && t-h.at[(int(h.i)+size-most-1)%size] <= Window
}
