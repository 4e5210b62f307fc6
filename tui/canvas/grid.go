package canvas

import (
	"math"

	"example.org/ringout/internal/prop"
)

// A grid is the set of places for pixels in a drawing of the prop in its real shape. A
// spotAt on it has whole columns and lines, from 0.
type grid struct {
	cols, lines int
	perCell     int // lines in a cell
	side, above int // columns and lines left free around the drawing
}

// shape is the height of a line in column widths. A cell is twice as high as wide.
func (g grid) shape() float64 { return 2 / float64(g.perCell) }

// seen converts a place to half-cell coordinates: x in columns, y in half cells from the upper
// half of the first cell.
func (s spotAt) seen(g grid) spotAt {
	if g.perCell == 1 {
		return spotAt{s.x, 2*s.y + 0.5}
	}
	return s
}

// odd is the largest odd number up to n, at least 1. An odd size has a middle place, so a
// symmetrical prop is drawn symmetrically.
func odd(n int) int { return max(1, n-1+n%2) }

// A fit holds the place of each pixel by run, and the number of pixels hidden behind an
// earlier one in the same place. rough means rings whose gaps are not even, near rings of which
// one comes close to another.
type fit struct {
	by     grid
	at     [][]spotAt
	hidden int
	rough  bool
	near   bool
}

// better returns the fit that hides fewer pixels, or else has even gaps, or else has its runs
// apart; a if both are alike.
func better(a, b fit) fit {
	switch {
	case b.hidden != a.hidden:
		if b.hidden < a.hidden {
			return b
		}
	case b.rough != a.rough:
		if a.rough {
			return b
		}
	case a.near && !b.near:
		return b
	}
	return a
}

// fitted lays out the pixels of each run, positions in metres, on a grid.
func fitted(pts [][]prop.Point, g grid) fit {
	lo, hi := prop.Bounds(pts...)
	scale := math.Inf(1) // columns per metre
	if dx := hi.X - lo.X; dx > 0 {
		scale = min(scale, float64(g.cols-1-2*g.side)/dx)
	}
	if dy := hi.Y - lo.Y; dy > 0 {
		scale = min(scale, g.shape()*float64(g.lines-1-2*g.above)/dy)
	}
	if math.IsInf(scale, 1) {
		scale = 0 // a single pixel, or all in one place
	}
	rings := ringShapes(pts)
	if f, ok := ringsFitted(rings, lo, hi, g, max(0, scale)); ok {
		return f
	}
	scale = evenly(pts, max(0, scale), g)
	down := scale / g.shape() // lines per metre
	if high := hi.Y - lo.Y; high > 0 && hi.X-lo.X > flat*high && straight(pts) {
		down = min(mostStretch*down, max(down, float64(g.lines-1-2*g.above)/high))
		down = evenLines(pts, down, scale/g.shape())
	}
	mid := spotAt{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2}
	out := fit{by: g, at: make([][]spotAt, len(pts)), rough: rings != nil}
	ideal := make([][]spotAt, len(pts))
	for r, run := range pts {
		for _, pt := range run {
			ideal[r] = append(ideal[r], spotAt{float64(g.cols-1)/2 + (pt.X-mid.x)*scale, float64(g.lines-1)/2 - (pt.Y-mid.y)*down})
		}
		for k, at := range ideal[r] {
			on := spotAt{float64(within(at.x, g.cols)), float64(within(at.y, g.lines))}
			if k > 1 {
				on = inStep(ideal[r][k-2:k+1], out.at[r][k-1], on)
			}
			out.at[r] = append(out.at[r], spotAt{min(on.x, float64(g.cols-1)), min(on.y, float64(g.lines-1))})
		}
	}
	out.hidden = settle(ideal, out.at, g)
	return out
}

// mostStretch is the largest ratio of vertical to horizontal scale for a flat prop without
// bends. Stretching gives its pixels more places.
const mostStretch = 2

// flat is the ratio of width to height above which a prop without bends may be stretched.
const flat = 2.5

// mostCorners is the number of direction changes up to which a prop counts as without bends.
const mostCorners = 12

// mostSpread is the largest excess of a step over a whole number of lines that looks
// even, as a share of that number.
const mostSpread = 0.3

// mostDropped is the largest excess of a step over a whole number of places that inStep drops, as
// a share of that number.
const mostDropped = 0.05

// mostStrides limits the number of different strides compared. A prop with more has no even
// drawing.
const mostStrides = 24

// margins are the columns and rows left free around a drawing for arrowheads and the data
// input sign; 0 for small drawings.
func margins(width, height int) (side, above int) {
	if width < 30 || height < 10 {
		return 0, 0
	}
	return 2, 1
}

// within rounds v to one of n places, 0 to n-1. Halves round towards the middle, so a round
// shape stays symmetrical.
func within(v float64, n int) int {
	const noise = 1e-6
	at := math.Floor(v + 0.5 + noise)
	if v > float64(n-1)/2+noise {
		at = math.Ceil(v - 0.5 - noise)
	}
	return max(0, min(n-1, int(at)))
}

// looseFrom is the least pixel spacing, in columns, at which neighbours on a line keep an
// empty column between them.
const looseFrom = 1.75
