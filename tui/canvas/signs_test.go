package canvas

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
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
