package canvas

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// Nothing stands on the lines outside those that are used, and something on the first and
// the last of them, in either view and for a bulb.
func TestUsedLines(t *testing.T) {
	for _, p := range prop.Demos() {
		for _, view := range []View{Shape, Rows} {
			for _, size := range [][2]int{{46, 14}, {60, 40}, {100, 20}} {
				c := New(p, nil, view, size[0], size[1], style.Letters)
				lit := make(patterns.Frame, p.Pixels()) // a dark bulb is an empty area
				for i := range lit {
					lit[i] = patterns.Colour{R: 255}
				}
				c.SetFrame(lit, 1)
				first, after := c.Used()
				lines := c.Lines()
				require.Less(t, first, after, "%s %v", p.Name, size)
				assert.False(t, style.Blank(lines[first]), "%s %v %v\n%s", p.Name, view, size, strings.Join(lines, "\n"))
				assert.False(t, style.Blank(lines[after-1]))
				for i, l := range lines {
					if i < first || i >= after {
						assert.True(t, style.Blank(l), "%s line %d", p.Name, i)
					}
				}
			}
		}
	}
}

// A drawing whose pixels share cells has fewer signs than pixels, and says so.
func TestSharedSigns(t *testing.T) {
	p, shared := prop.Porthole(), 0
	for width := 24; width < 120; width += 4 {
		c := New(p, nil, Shape, width, width/2, style.True)
		signs := 0
		for _, l := range c.Signs(make([]uint8, p.Pixels()), []string{"o"}) {
			signs += strings.Count(l, "o")
		}
		assert.Equal(t, signs < p.Pixels(), c.SharesSigns(), "%d cells wide", width)
		if c.SharesSigns() {
			shared++
		}
	}
	assert.Positive(t, shared)
	assert.Less(t, shared, 24, "the large ones share none")
}
