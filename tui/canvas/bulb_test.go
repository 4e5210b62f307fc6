package canvas

import (
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// A bulb is a disc as large as the room allows, all of it in the bulb's light, as
// round as whole cells allow.
func TestABulbIsADisc(t *testing.T) {
	for _, view := range []View{Shape, Rows} {
		c := New(prop.BuoyLamp(), nil, view, 40, 12, style.Letters)
		c.SetFrame(patterns.Frame{{R: 255}}, 1)
		rows, widest, all := 0, 0, 0
		for _, l := range c.Lines() {
			require.Equal(t, 40, ansi.StringWidth(l))
			n := strings.Count(l, "R") + strings.Count(l, "r")
			all += n
			if n > 0 {
				rows++
			}
			widest = max(widest, n)
		}
		const radius = 10 // in half rows: 12 rows less one to spare above and below
		assert.Equal(t, radius, rows)
		assert.Equal(t, 2*radius, widest)
		assert.InDelta(t, 3.14*radius*radius/2, all, 30, "half the area in half rows, in letters of a whole row")
	}
	tiny := New(prop.BuoyLamp(), nil, Shape, 3, 1, style.Letters)
	tiny.SetFrame(patterns.Frame{{R: 255}}, 1)
	assert.Contains(t, strings.ToLower(tiny.Lines()[0]), "r")
}

// A bulb has one shape whatever its light, in all palettes: a faint one beside a bright one looks like the
// same bulb. It is seen in the smallest room.
func TestABulbHasOneShape(t *testing.T) {
	for depth := style.Letters; depth <= style.True; depth++ {
		for height := 1; height <= 24; height++ {
			for _, width := range []int{3, 6, 7, 8, 9, 44, 45} {
				c := New(prop.BuoyLamp(), nil, Shape, width, height, depth)
				shapes := map[string]bool{}
				for _, v := range []uint8{0, 2, 30, 255} {
					c.SetFrame(patterns.Frame{{R: v}}, 1)
					shape := regexp.MustCompile(`[^ \n]`).ReplaceAllString(ansi.Strip(strings.Join(c.Lines(), "\n")), "#")
					assert.Contains(t, shape, "#")
					shapes[shape] = true
				}
				assert.Len(t, shapes, 1, "%dx%d, depth %d", width, height, depth)
			}
		}
	}
}
