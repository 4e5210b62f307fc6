package canvas

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// Nothing stands on the lines outside those that are used, and something on the first and
// the last of them, in either view; a bulb has a line of ground above and below.
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
				ground := 0
				if p.Bulb() { // its disc is inside its panel
					ground = 1
					assert.True(t, style.Blank(lines[first]) && style.Blank(lines[after-1]), p.Name)
				}
				assert.False(t, style.Blank(lines[first+ground]), "%s %v %v\n%s", p.Name, view, size, strings.Join(lines, "\n"))
				assert.False(t, style.Blank(lines[after-1-ground]))
				for i, l := range lines {
					if i < first || i >= after {
						assert.True(t, style.Blank(l), "%s line %d", p.Name, i)
					}
				}
			}
		}
	}
}

// Each pixel has a sign of its own, or the legend says how many pixels one has: in every view
// and size, with colours and without. A bulb is one pixel, drawn as an area.
func TestSignsAreCountedOrTheirScaleIsSaid(t *testing.T) {
	said := map[bool]int{}
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant(), ring(1), ring(37), ring(144)} {
		for width := 10; width < 180; width += 3 {
			for _, draw := range []func(height int, d style.Depth) *Canvas{
				func(h int, d style.Depth) *Canvas { return New(p, nil, Shape, width, h, d) },
				func(h int, d style.Depth) *Canvas { return New(p, nil, Rows, width, h, d) },
				func(h int, d style.Depth) *Canvas { return Best(p, nil, width, h, d) },
				func(h int, d style.Depth) *Canvas { return Placed(p, nil, width, h, d) },
			} {
				for _, d := range []style.Depth{style.Letters, style.True} {
					c := draw(max(8, width/3), d)
					signs := 0
					for _, l := range c.Signs(make([]uint8, p.Pixels()), []string{"o"}) {
						signs += strings.Count(l, "o")
					}
					says := c.Shared(false).Full != "" || c.Scale().Full != ""
					assert.Equal(t, signs < p.Pixels(), says, "%s %d wide, %d signs of %d pixels", p.Name, width, signs, p.Pixels())
					said[says]++
				}
			}
		}
	}
	assert.Positive(t, said[true])
	assert.Positive(t, said[false])
}

// From the top on a drawing has one free line above it wherever it leaves one, and no line of it is lost.
func TestDrawingsBeginUnderTheirLegend(t *testing.T) {
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant()} {
		for height := 6; height <= 50; height++ {
			for _, v := range []View{Shape, Rows} {
				c := New(p, nil, v, 80, height, style.Letters)
				first, after := c.Used()
				lines := c.FromTop(c.Lines())
				assert.Len(t, lines, height)
				want := slices.Clone(c.Lines()[first:after])
				if after-first < height {
					assert.Empty(t, strings.TrimSpace(lines[0]))
					lines = lines[1:]
				}
				assert.Equal(t, want, lines[:after-first], "%s %d high", p.Name, height)
			}
		}
	}
}

// A legend stands an empty row above its drawing where there is one to spare.
func TestUnder(t *testing.T) {
	legend, drawn := []string{"legend"}, []string{"a", "b"}
	assert.Equal(t, []string{"legend", "a", "b"}, Under(legend, drawn, 3))
	assert.Equal(t, []string{"legend", "", "a", "b"}, Under(legend, drawn, 4))
	assert.Equal(t, []string{"legend", "", "a", "b"}, Under(legend, drawn, 9))
}
