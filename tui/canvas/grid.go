package canvas

import (
	"math"

	"example.org/ringout/internal/prop"
)

// A grid is the places that a drawing as it lies has for pixels. Coordinates of a spotAt on
// it are whole columns and lines, from 0.
type grid struct {
	cols, lines int
	perCell     int // lines in a cell
	side, above int // columns and lines left free around the drawing
}

// shape is how many columns wide a line is high: a cell is two columns high.
func (g grid) shape() float64 { return 2 / float64(g.perCell) }

// seen is a place as it looks: columns, and rows counted in columns from the upper half of
// the first cell on.
func (s spotAt) seen(g grid) spotAt {
	if g.perCell == 1 {
		return spotAt{s.x, 2*s.y + 0.5}
	}
	return s
}

// odd is n or one less: with a place in the middle, both sides of a drawing are alike.
func odd(n int) int { return max(1, n-1+n%2) }

// A fit is where the pixels of all runs lie on a grid, and how many share their place with
// one before them.
type fit struct {
	by     grid
	at     [][]spotAt
	hidden int
}

// better is the one of two fits that hides fewer pixels, the first where both hide as many.
func better(a, b fit) fit {
	if b.hidden < a.hidden {
		return b
	}
	return a
}

// fitted lays pixels out on a grid.
func fitted(pts [][]prop.Point, g grid) fit {
	lo, hi := prop.Bounds(pts...)
	scale := math.Inf(1) // columns a metre
	if dx := hi.X - lo.X; dx > 0 {
		scale = min(scale, float64(g.cols-1-2*g.side)/dx)
	}
	if dy := hi.Y - lo.Y; dy > 0 {
		scale = min(scale, g.shape()*float64(g.lines-1-2*g.above)/dy)
	}
	if math.IsInf(scale, 1) {
		scale = 0 // a single pixel, or all in one place
	}
	scale = evenly(pts, max(0, scale), g)
	down := scale / g.shape() // lines a metre
	if high := hi.Y - lo.Y; high > 0 && hi.X-lo.X > flat*high && straight(pts) {
		down = min(mostStretch*down, max(down, float64(g.lines-1-2*g.above)/high))
		down = evenLines(pts, down, scale/g.shape())
	}
	mid := spotAt{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2}
	out := fit{by: g, at: make([][]spotAt, len(pts))}
	ideal := make([][]spotAt, len(pts))
	for r, run := range pts {
		for _, pt := range run {
			ideal[r] = append(ideal[r], spotAt{float64(g.cols-1)/2 + (pt.X-mid.x)*scale, float64(g.lines-1)/2 - (pt.Y-mid.y)*down})
		}
		evenSides(ideal[r], g)
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

// mostStretch is how much higher than it is wide a prop without bends may be drawn: a flat
// one has then more places for its pixels.
const mostStretch = 2

// flat is how much wider than high it is then.
const flat = 2.5

// mostCorners are as many changes of direction as a run without bends may have.
const mostCorners = 12

// mostSpread is the share of a step up or down, over whole places, that evenSides makes good.
const mostSpread = 0.3

// little is the share of a step over whole places that is left out, pixel by pixel.
const little = 0.05

// mostStrides are as many as are compared: a prop of more has no even drawing.
const mostStrides = 24

// margins are the columns and rows left free around a drawing for the signs of
// the way; small drawings have none to spare.
func margins(width, height int) (side, above int) {
	if width < 30 || height < 10 {
		return 0, 0
	}
	return 2, 1
}

// within is the nearest of n places. Halves go towards the middle on both sides, so
// that what is round stays so.
func within(v float64, n int) int {
	const noise = 1e-6
	at := math.Floor(v + 0.5 + noise)
	if v > float64(n-1)/2+noise {
		at = math.Ceil(v - 0.5 - noise)
	}
	return max(0, min(n-1, int(at)))
}

// looseFrom is the distance in columns from which on pixels in a line have a column between.
const looseFrom = 1.75
