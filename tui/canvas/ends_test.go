package canvas

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// Wherever one pixel alone is lit, some mark of the drawing is, in every view and size:
// a mark of several pixels shows the end of a run rather than its neighbour only while
// the end is lit itself.
func TestALitPixelIsSeen(t *testing.T) {
	p := &prop.Prop{Runs: []prop.Run{{Name: "a", Pixels: 36}, {Name: "b", Pixels: 48}, {Name: "c", Pixels: 7}}}
	rapid.Check(t, func(t *rapid.T) {
		width, height := rapid.IntRange(16, 70).Draw(t, "width"), rapid.IntRange(3, 12).Draw(t, "height")
		c := New(p, nil, Rows, width, height, style.Letters)
		if c == nil || c.Per() == 0 {
			t.Skip("no room")
		}
		frame := make(patterns.Frame, 91)
		frame[rapid.IntRange(0, 90).Draw(t, "pixel")] = patterns.Colour{B: 255}
		c.SetFrame(frame, 1)
		lit := 0
		for i := range c.rows {
			for _, s := range c.rows[i].spots {
				if !s.now[0].Dark() || !s.now[1].Dark() {
					lit++
				}
			}
		}
		require.Equal(t, 1, lit)
	})
}
