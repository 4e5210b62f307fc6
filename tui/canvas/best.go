package canvas

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/style"
)

// crowd is the share of pixels hidden behind others from which on rows say more
// than the shape.
const crowd = 0.1

// mostPer is the most pixels that a mark of a row may cover: with more the shape
// says more.
const mostPer = 3

// Best is the drawing of p that says most in width x height cells: as it lies, or row by
// row where its pixels or the way of its data would not be seen. counts are those of New.
func Best(p *prop.Prop, counts []int, width, height int, d style.Depth) *Canvas {
	shape := New(p, counts, Shape, width, height, d)
	if !Straight(p) && shape.Crowded() <= crowd && shape.ShowsWay() {
		return shape
	}
	return shape.orRows(p, width, height)
}

// Placed is Best where the place of a mark matters more than the count of pixels, so that
// those may hide one another.
func Placed(p *prop.Prop, counts []int, width, height int, d style.Depth) *Canvas {
	shape := New(p, counts, Shape, width, height, d)
	if !Straight(p) && shape.ShowsWay() {
		return shape
	}
	return shape.orRows(p, width, height)
}

// orRows is the same row by row, unless a mark covers too many pixels there.
func (c *Canvas) orRows(p *prop.Prop, width, height int) *Canvas {
	if rows := New(p, c.counts, Rows, width, height, c.depth); Straight(p) || rows.per <= mostPer {
		return rows
	}
	return c
}

// Rows reports whether pixels are drawn row by row.
func (c *Canvas) Rows() bool { return c.view == Rows }

// shortRun is a run of so few pixels that its way needs no three arrowheads.
const shortRun = 2 * MinHeads

// ShowsWay reports whether each run has its arrowheads.
func (c *Canvas) ShowsWay() bool {
	for r, n := range c.counts {
		if n > shortRun && (r >= len(c.headsOf) || c.headsOf[r] < MinHeads) {
			return false
		}
	}
	return true
}
