package canvas

import (
	"math"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/style"
)

// crowd is the share of hidden pixels from which rows show more than the shape.
const crowd = 0.1

// mostPer is the largest number of pixels to a mark of a row: with more, the shape shows
// more.
const mostPer = 3

// heap is the share of pixels hidden behind others from which on a shape says nothing.
const heap = 0.5

// Best is the better drawing of p in width x height cells: its shape, or rows where the
// shape would hide pixels or arrowheads. counts are those of New.
func Best(p *prop.Prop, counts []int, width, height int, d style.Depth) *Canvas {
	return New(p, counts, Shape, width, height, d).orBetter(p, width, height)
}

// orBetter is Best for a drawing of the shape.
func (c *Canvas) orBetter(p *prop.Prop, width, height int) *Canvas {
	if shapeless(p) || !c.ShowsWay() {
		return c.orRows(p, width, height)
	}
	if c.Clear() || c.Even() {
		return c
	}
	rows := New(p, c.counts, Rows, width, height, c.depth)
	if rows.per == 1 || c.Crowded() > crowd && rows.per <= c.mostPer() {
		return rows
	}
	return c
}

// Clear reports whether each pixel of a drawing as it lies has a cell of its own and no run
// touches another.
func (c *Canvas) Clear() bool { return !c.fine && c.Crowded() == 0 && !c.Touching() && !c.mixed() }

// mixed reports whether some pixels of a drawing as it lies touch the next one in their line,
// and others do not.
func (c *Canvas) mixed() bool {
	const few = 0.02 // share of all
	touch, pairs := 0, 0
	for i := range c.rows {
		for k, s := range c.rows[i].spots {
			pairs++
			if k > 0 && c.rows[i].spots[k-1].col == s.col-1 {
				touch++
			}
		}
	}
	share := float64(touch) / float64(max(1, pairs))
	return share > few && share < 1-few
}

// mostMoved is the largest share of pixels beside their place in a drawing that looks even.
const mostMoved = 0.03

// Even reports whether a drawing as it lies shows each pixel in a cell of its own, nearly all in
// their places, the way of each run, and no gap that looks like a dark pixel: neighbours of one
// run in one line are all as far apart as the first two, and none is off a line that goes on
// before and after it.
func (c *Canvas) Even() bool { return c.evenPlaces() && c.ShowsWay() }

// evenPlaces is Even but for the way.
func (c *Canvas) evenPlaces() bool {
	if c.fine || c.view != Shape || float64(c.moved) > mostMoved*float64(len(c.flat)) || c.Crowded() > 0 || c.Touching() {
		return false
	}
	at := make([]spotAt, len(c.flat))
	for y := range c.rows {
		for _, s := range c.rows[y].spots {
			at[s.up[0]] = spotAt{float64(s.col), float64(y)}
		}
	}
	for _, n := range c.counts {
		if !evenRun(at[:n]) {
			return false
		}
		at = at[n:]
	}
	return true
}

// evenRun is Even for the places of one run.
func evenRun(at []spotAt) bool {
	steps := map[float64]bool{}
	for i := 1; i < len(at); i++ {
		if i > 1 && at[i-2].y == at[i].y && at[i-1].y != at[i].y && (at[i-2].x < at[i-1].x) == (at[i-1].x < at[i].x) {
			return false
		}
		if at[i].y == at[i-1].y {
			steps[math.Abs(at[i].x-at[i-1].x)] = true
		}
	}
	return len(steps) <= 1
}

// Placed is Best for drawings of places, whose signs have whole cells and may hide one another.
func Placed(p *prop.Prop, counts []int, width, height int, d style.Depth) *Canvas {
	shape := laid(&Canvas{whole: true}, p, counts, Shape, width, height, d)
	if !shapeless(p) && shape.ShowsWay() {
		return shape
	}
	return shape.orRows(p, width, height)
}

// orRows is the drawing in rows, or c if a mark would cover too many pixels there.
func (c *Canvas) orRows(p *prop.Prop, width, height int) *Canvas {
	if rows := New(p, c.counts, Rows, width, height, c.depth); shapeless(p) || rows.per <= c.mostPer() {
		return rows
	}
	return c
}

// mostPer is the largest number of pixels to a mark in place of this drawing of the shape.
func (c *Canvas) mostPer() int {
	if c.Crowded() > heap {
		return 2 * mostPer
	}
	return mostPer
}

// Rows reports whether pixels are drawn row by row.
func (c *Canvas) Rows() bool { return c.view == Rows }

// shortRun is the number of pixels below which a run needs fewer than MinHeads
// arrowheads.
const shortRun = 2 * MinHeads

// ShowsWay reports whether each run has enough arrowheads.
func (c *Canvas) ShowsWay() bool {
	for r, n := range c.counts {
		if n > shortRun && (r >= len(c.headsOf) || c.headsOf[r] < MinHeads) {
			return false
		}
	}
	return true
}
