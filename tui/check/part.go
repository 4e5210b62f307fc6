package check

import (
	"time"

	"example.org/ringout/internal/show"
	"example.org/ringout/patterns"
)

// moved shows frames of a part where it lies: all pixels before it stay dark.
func moved(f show.FrameFunc, first, pixels int) show.FrameFunc {
	if f == nil || first == 0 {
		return f
	}
	return func(dst patterns.Frame, _ int, t time.Duration) patterns.Frame {
		dst = dst[:0]
		for range first {
			dst = append(dst, patterns.Colour{})
		}
		return append(dst, f(nil, pixels, t)...)
	}
}
