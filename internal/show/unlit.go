package show

import (
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// Unlit is frames of a prop that leave the pixels of its empty parts dark, as
// patterns do. It is the same frames when there are none.
func Unlit(p *prop.Prop, frames FrameFunc) FrameFunc {
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
