package canvas

import (
	"math"
	"slices"

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
	moved  int // pixels that lie beside their place, since another has it; of rings none
	scale  float64
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

// wider returns b where it hides no more pixels than a and its pixels are a whole place more apart, or
// more of them are in their places in a drawing no smaller; else a.
func wider(a, b fit) fit {
	const more, alike = 1.4, 0.98
	switch {
	case b.hidden > a.hidden:
	case b.scale > more*a.scale && b.moved <= a.moved+1, b.scale > alike*a.scale && b.moved < a.moved:
		return b
	}
	return a
}

// tight is fitted for a prop whose drawing, in steps of whole places, is a little narrower than the
// prop at that scale; nothing where it has no room.
func (l *layout) tight(g grid) fit {
	const more = 6 // columns; even, so that the middle is a place
	none := fit{hidden: math.MaxInt}
	wide := g
	wide.cols += more
	f := l.fitted(wide)
	if f.scale == 0 {
		return none
	}
	from, to := math.Inf(1), math.Inf(-1)
	for _, at := range slices.Concat(f.at...) {
		from, to = min(from, at.x), max(to, at.x)
	}
	if to-from+1 > float64(g.cols-g.side) {
		return none
	}
	left := max(float64(g.side), math.Floor((float64(g.cols)-(to-from+1))/2)) - from
	for _, run := range f.at {
		for k := range run {
			run[k].x += left
		}
	}
	f.by = g
	return f
}

// fitted lays out the pixels of each run, positions in metres, on a grid.
func (l *layout) fitted(g grid) fit {
	pts, lo, hi := l.pts, l.lo, l.hi
	scale := g.most(lo, hi, l.flat)
	if f, ok := l.ringsFitted(g, scale); ok {
		return f
	}
	scale = evenly(pts, scale, g)
	down := scale / g.shape() // lines per metre
	if high := hi.Y - lo.Y; high > 0 && l.flat {
		most := min(mostStretch*down, float64(g.lines-1-2*g.above)/high)
		down = evenLines(pts, most, min(down, most))
	}
	mid := spotAt{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2}
	out := fit{by: g, at: make([][]spotAt, len(pts)), rough: l.rings != nil}
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
			out.at[r] = append(out.at[r], spotAt{max(0, min(on.x, float64(g.cols-1))), max(0, min(on.y, float64(g.lines-1)))})
		}
	}
	first := slices.Concat(out.at...)
	out.hidden, out.scale = settle(ideal, out.at, g), scale
	for i, at := range slices.Concat(out.at...) {
		if at != first[i] {
			out.moved++
		}
	}
	return out
}

// most is the largest scale, in columns per metre, at which a prop with these corners fits. Lines of
// a flat one may be closer.
func (g grid) most(lo, hi prop.Point, flat bool) float64 {
	scale := math.Inf(1)
	if dx := hi.X - lo.X; dx > 0 {
		scale = min(scale, float64(g.cols-1-2*g.side)/dx)
	}
	if dy := hi.Y - lo.Y; dy > 0 {
		down := g.shape() * float64(g.lines-1-2*g.above) / dy
		if flat {
			down /= leastStretch
		}
		scale = min(scale, down)
	}
	if math.IsInf(scale, 1) {
		return 0 // a single pixel, or all in one place
	}
	return max(0, scale)
}

// mostStretch is the largest ratio of vertical to horizontal scale for a flat prop without
// bends, and leastStretch the least. Stretching gives its pixels more places.
const mostStretch, leastStretch = 2, 0.95

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
