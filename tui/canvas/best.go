package canvas

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/style"
)

// crowd is the share of hidden pixels from which rows show more than the shape.
const crowd = 0.1

// mostPer is the largest number of pixels to a mark of a row: with more, the shape shows
// more.
const mostPer = 3

// Best is the better drawing of p in width x height cells: its shape, or rows where the
// shape would hide pixels or arrowheads. counts are those of New.
func Best(p *prop.Prop, counts []int, width, height int, d style.Depth) *Canvas {
	shape := New(p, counts, Shape, width, height, d)
	if !Straight(p) && shape.Crowded() <= crowd && shape.ShowsWay() {
		return shape
	}
	return shape.orRows(p, width, height)
}

// Placed is Best for drawings of places, in which pixels may hide one another.
func Placed(p *prop.Prop, counts []int, width, height int, d style.Depth) *Canvas {
	shape := New(p, counts, Shape, width, height, d)
	if !Straight(p) && shape.ShowsWay() {
		return shape
	}
	return shape.orRows(p, width, height)
}

// orRows is the drawing in rows, or c if a mark would cover too many pixels there.
func (c *Canvas) orRows(p *prop.Prop, width, height int) *Canvas {
	if rows := New(p, c.counts, Rows, width, height, c.depth); Straight(p) || rows.per <= mostPer {
		return rows
	}
	return c
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
