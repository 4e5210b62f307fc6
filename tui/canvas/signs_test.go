package canvas

import (
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

func TestSignsStandWhereThePixelsAre(t *testing.T) {
	p := prop.Porthole()
	rank := make([]uint8, p.Pixels())
	rank[84] = 2
	rank[85] = 7 // beyond the signs: the last one
	for _, v := range []View{Shape, Rows} {
		c := New(p, nil, v, 60, 20, style.True)
		lines := c.Signs(rank, []string{".", "o", "\x1b[1m@\x1b[0m"})
		require.Len(t, lines, len(c.Lines()))
		all := ""
		for _, l := range lines {
			assert.Equal(t, 60, ansi.StringWidth(l))
			all += ansi.Strip(l)
		}
		assert.GreaterOrEqual(t, strings.Count(all, "@"), 1)
		assert.LessOrEqual(t, strings.Count(all, "@"), 2)
		assert.Zero(t, strings.Count(all, "o"))
		assert.Greater(t, strings.Count(all, "."), 60)
	}
}

func TestCrowded(t *testing.T) {
	p := prop.Porthole()
	assert.Zero(t, New(p, nil, Rows, 80, 20, style.True).Crowded())
	assert.Less(t, New(p, nil, Shape, 120, 60, style.True).Crowded(), 0.02)
	assert.Greater(t, New(p, nil, Shape, 12, 4, style.True).Crowded(), 0.5)
}

// A pixel that is marked has a sign of its own in every palette, so that its light can't
// be taken for that of its neighbours.
func TestAMarkedPixelIsFoundInEveryPalette(t *testing.T) {
	p := &prop.Prop{Runs: []prop.Run{{Name: "ring", Pixels: 12}}}
	lit := slices.Repeat(patterns.Frame{{R: 255, G: 255, B: 255}}, 12)
	for _, d := range []style.Depth{style.Letters, style.Sixteen, style.Cube256, style.True} {
		for _, v := range []View{Rows, Shape} {
			c := New(p, nil, v, 40, 12, d)
			c.SetFrame(lit, 1)
			assert.NotContains(t, strings.Join(c.Lines(), "\n"), Marked)
			c.SetMark(4)
			c.SetFrame(lit, 1)
			assert.Equal(t, 1, strings.Count(strings.Join(c.Lines(), "\n"), Marked), "%v %v", d, v)
			c.SetMark(12)
			c.SetFrame(lit, 1)
			assert.NotContains(t, strings.Join(c.Lines(), "\n"), Marked, "there is no such pixel")
		}
	}
}
