package canvas

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/style"
)

// ringed are the props of rings alone.
func ringed() []*prop.Prop {
	return []*prop.Prop{prop.Porthole(), ring(24), ring(37), ring(48), ring(50), ring(60), ring(64), ring(91)}
}

// gapsOf are the longest and the shortest distance of neighbours in a run of a drawing with a
// cell for each pixel, in columns, the last pixel beside the first. Measured on the drawing.
func gapsOf(c *Canvas, run int) (least, most float64) {
	all := make([][2]float64, len(c.flat))
	for y := range c.rows {
		for _, s := range c.rows[y].spots {
			all[s.up[0]] = [2]float64{float64(s.col), 2 * float64(y)}
		}
	}
	first := 0
	for _, n := range c.counts[:run] {
		first += n
	}
	at := all[first : first+c.counts[run]]
	least = math.Inf(1)
	for i := range at {
		next := at[(i+1)%len(at)]
		d := math.Hypot(next[0]-at[i][0], next[1]-at[i][1])
		least, most = min(least, d), max(most, d)
	}
	return least, most
}

// On every ring that has a cell for each pixel the longest gap between neighbours is at most
// twice the shortest, and in nearly all rooms at most 1.6 times. No room changes that.
func TestRingsHaveEvenGaps(t *testing.T) {
	drawn, even := 0, 0
	for _, p := range ringed() {
		for height := 19; height <= 60; height += 2 {
			for width := 42; width <= 120; width += 6 {
				c := New(p, nil, Shape, width, height, style.Letters)
				if c.Crowded() > 0 || math.Pi*float64(min(width, 2*height)-5) < 2*float64(slices.Max(c.counts)) {
					continue // a gap would be less than two columns
				}
				for run := range c.counts {
					least, most := gapsOf(c, run)
					assert.LessOrEqual(t, most, 2*least, "%s of %d, run %d, %d wide, %d high", p.Name, p.Pixels(), run, width, height)
					if drawn++; most <= 1.6*least {
						even++
					}
				}
			}
		}
	}
	assert.Greater(t, drawn, 700)
	assert.Greater(t, float64(even), 0.95*float64(drawn))
}

// A drawing of rings takes at least seven tenths of its room, the smaller of its width and
// twice its height, and is never smaller in a larger room by more than that.
func TestRingsGrowWithTheirRoom(t *testing.T) {
	for _, p := range ringed() {
		before := 0
		for size := 24; size <= 60; size++ {
			c := New(p, nil, Shape, 2*size, size, style.Letters)
			first, after := c.Used()
			assert.GreaterOrEqual(t, float64(after-first), 0.7*float64(size-2), "%s of %d in %d rows", p.Name, p.Pixels(), size)
			assert.GreaterOrEqual(t, after-first, before-3, "%s of %d in %d rows", p.Name, p.Pixels(), size)
			before = after - first
		}
	}
}

// The rings of the Porthole stand in cells of their own from 19 rows and 41 columns on, and no
// run touches another.
func TestRingsFitSmallRooms(t *testing.T) {
	for _, size := range [][2]int{{41, 19}, {46, 19}, {46, 22}, {60, 24}, {70, 36}} {
		c := New(prop.Porthole(), nil, Shape, size[0], size[1], style.True)
		assert.True(t, c.Clear(), fmt.Sprint(size))
		assert.True(t, c.ShowsWay(), fmt.Sprint(size))
	}
}

// stepsAt are the distances of neighbours in the top row of a run or in its bottom row.
func stepsAt(run []spotAt, top bool) map[float64]bool {
	edge := run[0].y
	for _, p := range run {
		if top && p.y < edge || !top && p.y > edge {
			edge = p.y
		}
	}
	out := map[float64]bool{}
	for i, p := range run {
		if next := run[(i+1)%len(run)]; p.y == edge && next.y == edge {
			out[math.Abs(next.x-p.x)] = true
		}
	}
	return out
}

// On a ring whose gaps are even, those in its top row are alike and those in its bottom row too. A
// ring of an odd number, which has two pixels at the bottom, is so where there is room.
func TestTopAndBottomOfARingAreNotDented(t *testing.T) {
	seen := 0
	for _, p := range ringed() {
		for height := 19; height <= 60; height++ {
			for _, width := range []int{43, 56, 70, 2*height + 4, 120} {
				c := New(p, nil, Shape, width, height, style.Letters)
				if c.Crowded() > 0 {
					continue
				}
				for r, run := range pixelsOf(c) {
					least, most := gapsOf(c, r)
					if most > 1.5*least || least < 2 || len(run)%2 == 1 && least < 3 {
						continue
					}
					for _, top := range []bool{true, false} {
						assert.LessOrEqual(t, len(stepsAt(run, top)), 1, "%s of %d, run %d, %d wide, %d high, top %v", p.Name, p.Pixels(), r, width, height, top)
						seen++
					}
				}
			}
		}
	}
	assert.Greater(t, seen, 1000)
}

// leastApart is the least distance of pixels of two runs, in columns.
func leastApart(runs [][]spotAt) float64 {
	least := math.Inf(1)
	for i, a := range runs {
		for _, b := range runs[:i] {
			for _, p := range a {
				for _, q := range b {
					least = min(least, p.minus(q).length())
				}
			}
		}
	}
	return least
}

// Three rings that are as far apart as one another look so in rows and in columns, to half a
// distance.
func TestRingsAreEvenlyApart(t *testing.T) {
	p := prop.Porthole()
	for height := 19; height <= 46; height++ {
		for _, width := range []int{2*height + 3, 2*height + 8, 2*height + 20} {
			var from, to [3]spotAt
			for r, run := range pixelsOf(New(p, nil, Shape, width, height, style.Letters)) {
				from[r], to[r] = run[0], run[0]
				for _, at := range run {
					from[r] = spotAt{min(from[r].x, at.x), min(from[r].y, at.y)}
					to[r] = spotAt{max(to[r].x, at.x), max(to[r].y, at.y)}
				}
			}
			for _, d := range [][2]spotAt{{from[1].minus(from[2]), from[0].minus(from[1])}, {to[2].minus(to[1]), to[1].minus(to[0])}} {
				assert.LessOrEqual(t, max(d[0].y, d[1].y), 1.5*min(d[0].y, d[1].y), "rows of %d wide, %d high", width, height)
				assert.LessOrEqual(t, max(d[0].x, d[1].x), 1.5*min(d[0].x, d[1].x), "columns of %d wide, %d high", width, height)
			}
		}
	}
}

// From 21 rows and 43 columns on a free cell lies between any two rings of the Porthole, on the
// diagonals too, and each arrowhead is nearer to its own ring than to another by a column.
func TestRingsStayApart(t *testing.T) {
	p := prop.Porthole()
	for height := 21; height <= 60; height++ {
		for _, width := range []int{43, 46, 58, 77, 2*height + 4, 120} {
			c := New(p, nil, Shape, width, height, style.Letters)
			runs := pixelsOf(c)
			assert.GreaterOrEqual(t, leastApart(runs), 2.5, "%d wide, %d high", width, height)
			for y := range c.rows {
				for _, m := range c.rows[y].marks {
					if m.head != entry {
						near := c.nearest(runs, 0, m.col, y, nearer) || c.nearest(runs, 1, m.col, y, nearer) || c.nearest(runs, 2, m.col, y, nearer)
						assert.True(t, near, "%d wide, %d high, row %d", width, height, y)
					}
				}
			}
		}
	}
}
