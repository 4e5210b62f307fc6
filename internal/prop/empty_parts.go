package prop

import (
	"time"

	"example.org/ringout/patterns"
)

// Unlit wraps frames so that pixels of empty parts stay dark. Without such parts it
// returns frames unchanged.
func (p *Prop) Unlit(frames patterns.FrameFunc) patterns.FrameFunc {
	on, lit := p.Lights()
	if lit == len(on) {
		return frames
	}
	return func(dst patterns.Frame, pixels int, t time.Duration) patterns.Frame {
		dst = frames(dst, pixels, t)
		for i := range min(len(dst), len(on)) {
			if !on[i] {
				dst[i] = patterns.Colour{}
			}
		}
		return dst
	}
}
