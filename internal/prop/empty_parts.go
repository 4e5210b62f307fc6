package prop

import (
	"time"

	"example.org/ringout/patterns"
)

// Unlit is frames of the prop that leave the pixels of its empty parts dark, as
// patterns do. It is the same frames when there are none.
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
