package check

import (
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/canvas"
)

// The rows of a map are as long in all runs where the height allows, else as they are elsewhere.
func TestRowsOfAMapAreAsLong(t *testing.T) {
	m := Model{style: styles(termenv.TrueColor)}
	m.bench.prop = prop.Porthole()
	for _, row := range []struct {
		width, height int
		same          bool
	}{{57, 8, true}, {57, 14, true}, {46, 12, true}, {75, 6, true}, {36, 6, false}} {
		c := mapDrawn(m, row.width, row.height)
		require.True(t, c.Rows(), "%v", row)
		assert.Equal(t, row.same, c.OneLength(), "%v", row)
		assert.LessOrEqual(t, len(c.SignRows(make([]uint8, m.bench.prop.Pixels()), []string{"o"})), row.height)
		assert.Equal(t, canvas.Best(m.bench.prop, nil, row.width, row.height, m.style.Depth).Per(), c.Per(), "%v", row)
	}
}
