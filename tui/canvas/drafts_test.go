package canvas

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/style"
)

// Drafts of other sizes, remembered, change no drawing, and a size that is refused at once is one
// whose drawing does not show the prop as it lies.
func TestDraftsChangeNothing(t *testing.T) {
	rings, _, err := prop.Load("../../testdata/props/fourrings.toml")
	assert.NoError(t, err)
	for _, p := range append(prop.Demos(), rings) {
		var d Drafts
		for _, depth := range []style.Depth{style.Letters, style.True} {
			d = Drafts{}
			for k := range 60 {
				width, height := 24+(7*k)%83, 8+(11*k)%31
				at := fmt.Sprint(p.Name, " ", depth, " ", width, "x", height)
				best := Best(p, nil, width, height, depth)
				assert.Equal(t, best.Lines(), d.Best(p, nil, width, height, depth).Lines(), at)
				shape := New(p, nil, Shape, width, height, depth)
				assert.Equal(t, shape.Lines(), d.Shape(p, nil, width, height, depth).Lines(), at)
				switch c := d.AsItLies(p, width, height, depth); {
				case !best.Rows():
					if assert.NotNil(t, c, at) {
						assert.Equal(t, best.Lines(), c.Lines(), at)
					}
				default:
					assert.Equal(t, shape.Even() && !shape.Rows(), c != nil, at)
				}
			}
		}
	}
}

// A run with another count than planned is laid out for that count.
func TestDraftsOfOtherCounts(t *testing.T) {
	var d Drafts
	p := prop.Porthole()
	counts := Planned(p)
	d.Shape(p, nil, 60, 30, style.True)
	counts[0] -= 3
	assert.Equal(t, New(p, counts, Shape, 60, 30, style.True).Lines(), d.Shape(p, counts, 60, 30, style.True).Lines())
}
