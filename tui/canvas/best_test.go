package canvas

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/style"
)

// The drawing that is chosen shows the way of every run by three arrowheads and hides
// few pixels, in any room in which either the shape or rows can.
func TestBestShowsTheWay(t *testing.T) {
	seen := map[bool]int{}
	for _, p := range prop.Demos() {
		for width := 18; width <= 120; width += 6 {
			for height := 4; height <= 40; height += 4 {
				c := Best(p, nil, width, height, style.True)
				rows := New(p, nil, Rows, width, height, style.True)
				switch {
				case p.Bulb(), rows.Per() > mostPer && !c.Rows(): // neither can
					continue
				case c.Per() > mostPer: // the shape would be a heap
					assert.Greater(t, New(p, nil, Shape, width, height, style.True).Crowded(), heap)
					assert.LessOrEqual(t, c.Per(), 2*mostPer, "%s %dx%d", p.Name, width, height)
					continue
				case c.Rows():
					assert.LessOrEqual(t, c.Per(), mostPer, "%s %dx%d", p.Name, width, height)
				default:
					assert.LessOrEqual(t, c.Crowded(), crowd, "%s %dx%d", p.Name, width, height)
				}
				seen[c.Rows()]++
				for r, n := range c.headsOf {
					if p.Runs[r].Pixels > shortRun {
						assert.GreaterOrEqual(t, n, MinHeads, "%s %dx%d run %d", p.Name, width, height, r)
					}
				}
			}
		}
	}
	assert.Positive(t, seen[true])
	assert.Positive(t, seen[false])
}

// A drawing as it lies is even where no pixel looks missing: by looking, the Pennant has a pixel out
// of its line at 84 columns and none at 116. The Porthole needs 41 columns and 19 rows.
func TestEven(t *testing.T) {
	assert.False(t, New(prop.Pennant(), nil, Shape, 84, 21, style.True).Even())
	assert.True(t, New(prop.Pennant(), nil, Shape, 116, 28, style.True).Even())
	assert.True(t, New(prop.Porthole(), nil, Shape, 41, 19, style.True).Even())
	assert.False(t, New(prop.Porthole(), nil, Shape, 36, 14, style.True).Even())
	assert.False(t, New(prop.Porthole(), nil, Rows, 41, 19, style.True).Even())
}

// A prop whose file does not say how it lies is drawn in rows in any room: our own pile of its lines
// would show less.
func TestRunsWithoutAPlaceAreRows(t *testing.T) {
	p := &prop.Prop{}
	for i := range 18 {
		p.Runs = append(p.Runs, prop.Run{Pixels: 11 + i, Shape: prop.Shape{Kind: prop.Line}})
	}
	for _, size := range [][2]int{{20, 3}, {36, 5}, {60, 12}, {120, 40}} {
		for _, draw := range []func(*prop.Prop, []int, int, int, style.Depth) *Canvas{Best, Placed} {
			assert.True(t, draw(p, nil, size[0], size[1], style.True).Rows(), "%v", size)
		}
	}
	p.Runs[3].Shape.Centre = prop.Point{X: 1}
	assert.False(t, unplaced(p))
	assert.False(t, unplaced(prop.Porthole()))
}
