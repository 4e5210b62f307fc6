package canvas

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/style"
)

// Three rings in 13 rows have no row free between them, in 24 they have; the sides of a
// triangle never lie side by side, and rows are kept apart.
func TestRingsTouchInFewRows(t *testing.T) {
	for _, row := range []struct {
		p             *prop.Prop
		view          View
		width, height int
		want          bool
	}{
		{prop.Porthole(), Shape, 31, 13, true},
		{prop.Porthole(), Shape, 58, 14, true},
		{prop.Porthole(), Shape, 48, 24, false},
		{prop.Porthole(), Shape, 98, 28, false},
		{prop.Porthole(), Rows, 31, 13, false},
		{prop.Pennant(), Shape, 31, 13, false},
		{prop.BuoyLamp(), Shape, 31, 13, false},
	} {
		for _, d := range []style.Depth{style.Letters, style.True} {
			assert.Equal(t, row.want, New(row.p, nil, row.view, row.width, row.height, d).Touching(), "%s in %d x %d", row.p.Name, row.width, row.height)
		}
	}
}
