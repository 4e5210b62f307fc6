package canvas

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// A dark pixel outside the chosen part has another sign than one in it,
// light outside keeps its letter, and pixels too many belong with the run before them.
func TestPartIsSetApart(t *testing.T) {
	p := prop.Porthole()
	for _, row := range []struct {
		name             string
		counts           []int
		first, n         int
		inside, lit, out int
	}{
		{"all", nil, 0, 0, 143, 1, 0},
		{"middle ring", nil, 36, 48, 48, 1, 95},
		{"one pixel too many before it", []int{37, 48, 60}, 36, 48, 48, 1, 96},
		{"one pixel too many in it", []int{36, 49, 60}, 36, 48, 49, 1, 95},
	} {
		c := New(p, row.counts, Rows, 120, 40, style.Letters)
		c.SetPart(row.first, row.n)
		c.SetFrame(patterns.Frame{{R: 255}}, 1) // the first pixel of the inner ring
		all := strings.Join(c.Lines(), "")
		assert.Equal(t, row.inside, strings.Count(all, DarkSign), row.name)
		assert.Equal(t, row.lit, strings.Count(all, "R"), row.name)
		assert.Equal(t, row.out, strings.Count(all, OutsideSign), row.name)
		assert.Equal(t, row.out > 0, slices.Contains(c.LightNames(), Named(OutsideSign+" outside")), row.name)
	}
	for _, d := range []style.Depth{style.Sixteen, style.Cube256, style.True} {
		c := New(p, nil, Rows, 120, 40, d)
		c.SetPart(36, 48)
		c.SetFrame(nil, 1)
		all := strings.Join(c.Lines(), "")
		assert.Equal(t, 48, strings.Count(all, DarkSign), d)
		for r, first := 0, 0; r < 3; r++ { // arrows of other runs are as dim as their pixels
			for head := first; head < first+c.headsOf[r]; head++ {
				dim := c.markInk(mark{head: head}) == darkInk[d]
				assert.Equal(t, r != 1, dim, "arrow %d, run %d", head, r+1)
			}
			first += c.headsOf[r]
		}
		assert.Equal(t, 96, strings.Count(all, OutsideSign), d)
		assert.Contains(t, c.LightNames(), Named(OutsideSign+" outside"), d)
	}
}
