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
// of its line at 82 columns and none at 84 and 116. The Porthole needs 41 columns and 19 rows.
func TestEven(t *testing.T) {
	assert.False(t, New(prop.Pennant(), nil, Shape, 82, 21, style.True).Even())
	assert.True(t, New(prop.Pennant(), nil, Shape, 84, 21, style.True).Even())
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

// The Pennant is drawn as it lies from 84 columns on, and its pixels are two columns apart from 166 on.
// By hand: the tail ends 132.7 cm from the hoist, with a pixel for each 1.62 cm of a side and 1.667 cm
// of the tail, so 39 steps, a gap and 40 pixels are 82 columns, and 161 with twice the step.
func TestALongPropGrowsWithItsRoom(t *testing.T) {
	for _, row := range []struct{ width, reach int }{{84, 82}, {100, 82}, {140, 82}, {166, 161}, {200, 161}} {
		c := Best(prop.Pennant(), nil, row.width, 40, style.True)
		assert.False(t, c.Rows(), "%d", row.width)
		assert.Equal(t, row.reach, c.reach(), "%d", row.width)
	}
	assert.True(t, Best(prop.Pennant(), nil, 70, 40, style.True).Rows())
}

// Two drawings of a long prop are one above the other where they are larger so, those of rings never.
func TestStacked(t *testing.T) {
	assert.True(t, new(Drafts).Stacked(prop.Pennant(), 166, 4, 41, style.True))
	assert.False(t, new(Drafts).Stacked(prop.Pennant(), 166, 4, 20, style.True), "too low for two as they lie")
	assert.False(t, new(Drafts).Stacked(prop.Pennant(), 172, 4, 30, style.True), "as large side by side")
	for width := 40; width <= 240; width += 20 {
		assert.False(t, new(Drafts).Stacked(prop.Porthole(), width, 4, 40, style.True), "%d", width)
	}
}

// Signs have whole cells, so drawings of places have as many rows with colours as without.
func TestPlacedHasWholeCells(t *testing.T) {
	for _, d := range []style.Depth{style.True, style.Letters} {
		c := Placed(prop.Pennant(), nil, 74, 36, d)
		first, after := c.Used()
		assert.False(t, c.fine)
		assert.Equal(t, 17, after-first)
	}
}

// Two rings stand without a gap where they are larger so and each has as much free at its sides; rows of
// pixels always have the gap.
func TestBeside(t *testing.T) {
	for width := 80; width < 180; width++ {
		d := new(Drafts)
		gap := d.Beside(prop.Porthole(), width, 4, 33, style.True)
		alone, close := d.Best(prop.Porthole(), nil, (width-4)/2, 33, style.True), d.Best(prop.Porthole(), nil, width/2, 33, style.True)
		switch gap {
		case 0:
			first, after := close.UsedColumns()
			assert.Greater(t, close.reach(), alone.reach(), "%d", width)
			assert.GreaterOrEqual(t, first+width/2-after, 4, "%d", width)
		default:
			assert.Equal(t, 4, gap, "%d", width)
		}
	}
	assert.Zero(t, new(Drafts).Beside(prop.Porthole(), 126, 4, 33, style.True))
	assert.Equal(t, 4, new(Drafts).Beside(prop.Pennant(), 126, 4, 12, style.True))
}
