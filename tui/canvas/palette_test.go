package canvas

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/testkit/vision"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

func bytesOf(k ink) [3]uint8 { return [3]uint8{uint8(k >> 16), uint8(k >> 8), uint8(k)} }

func seen(k vision.Kind, c ink) [3]uint8 {
	r, g, b := vision.Seen(k, bytesOf(c))
	return [3]uint8{r, g, b}
}

// A lit pixel of any colour differs from a dark one, and both from the mat, for
// every eye and at the levels that props are run at: by 20 in CIE 1976, which is
// another colour, and not a shade of the same.
func TestLitAndDarkDifferForEveryEye(t *testing.T) {
	colours := patterns.PaletteFor([]patterns.Channel{patterns.Red, patterns.Green, patterns.Blue, patterns.White})
	for _, k := range vision.Kinds() {
		dark, ground := seen(k, darkInk[style.True]), seen(k, mat[style.True])
		assert.Greater(t, vision.Apart(dark, ground), 20.0, "dark pixels on the mat, %s", k)
		for _, c := range colours {
			for _, level := range []float64{0.03, 0.2, 1} {
				lit := seen(k, inkOf(c.Colour.Dim(level), level, style.True))
				assert.Greater(t, vision.Apart(lit, dark), 20.0, "%s at %v, %s", c.Name, level, k)
				assert.Greater(t, vision.Apart(lit, ground), 30.0, "%s at %v, %s", c.Name, level, k)
			}
		}
	}
}

// The signs of the way are seen on the mat (3:1, WCAG 2.1 1.4.11), and the one
// that pulses differs from the others, for every eye.
func TestTheWayIsSeenByEveryEye(t *testing.T) {
	for _, k := range vision.Kinds() {
		ground := seen(k, mat[style.True])
		for _, c := range []ink{wayInk[style.True], brassInk[style.True]} {
			assert.GreaterOrEqual(t, vision.Contrast(seen(k, c), ground), 3.0, k)
		}
		assert.Greater(t, vision.Apart(seen(k, wayInk[style.True]), seen(k, brassInk[style.True])), 10.0, k)
	}
}
