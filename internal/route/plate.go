// Package route finds the way of a pixel string through the holes of a plate.
//
// A string of pixels, with one length of cord between two pixels, is pushed
// into the holes from the back. A step from hole to hole that is longer than
// the reach of the cord is bridged by pixels tucked away dark behind the
// plate: each adds one reach, so a step of length d takes ceil(d/reach)-1 of
// them. The best route
//
//  1. keeps the holes of every piece (a word, a digit) in one unbroken stretch,
//  2. tucks away the fewest pixels, none of its steps more than the plate allows,
//  3. has the shortest straight line from hole to hole, the way from where the
//     data comes in to the first hole included.
//
// Lengths are metres, x to the right and y up, as seen from the lit face. Holes
// and pixels count from 0. Nothing here reads a file or a clock; the search
// draws random numbers from a fixed seed, so that a plate always gets the same route.
package route

import (
	"fmt"
	"math"
)

// MaxHoles is the most holes a plate may have.
const MaxHoles = 1000

// maxDepth is how deep pieces may lie one in another.
const maxDepth = 4

// A Point is a place on the plate.
type Point struct{ X, Y float64 }

// A Hole is one that lights.
type Hole struct {
	Point
	Piece int // the innermost piece it belongs to, an index of Plate.Pieces; -1 for none
}

// A Piece is holes that must follow one another along the string.
type Piece struct {
	Name string
	In   int // the piece it lies in; -1 for none. Always an earlier one
}

// A Plate is what a string is to be laid through.
type Plate struct {
	Holes  []Hole
	Pieces []Piece
	Reach  float64 // of the cord between two pixels, straight, from hole to hole
	Start  *Point  // where the data comes in; nil leaves the first hole free
	Lead   float64 // reach of the lead from Start to the first pixel; 0 for any length
	Pixels int     // of the string; 0 for as many as it takes
	Tucked int     // most pixels tucked away in one step
}

// slack is how much longer than the reach a step may be by rounding alone.
const slack = 1e-9

// Tuck is how many pixels a step of the given length tucks away.
func (p *Plate) Tuck(step float64) int { return bridge(step, p.Reach) }

// TuckLead is how many pixels are before the first hole when it lies that
// far from where the data comes in.
func (p *Plate) TuckLead(step float64) int {
	if p.Lead <= 0 {
		return 0
	}
	if step <= p.Lead*(1+slack) {
		return 0
	}
	return 1 + bridge(step-p.Lead, p.Reach)
}

func bridge(step, reach float64) int {
	if step <= reach*(1+slack) {
		return 0
	}
	return int(math.Ceil(step/reach*(1-slack))) - 1
}

// lead is the distance from where the data comes in to a hole.
func (p *Plate) lead(hole int) float64 {
	if p.Start == nil {
		return 0
	}
	return distance(*p.Start, p.Holes[hole].Point)
}

func distance(a, b Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// step is the distance between two holes.
func (p *Plate) step(a, b int) float64 { return distance(p.Holes[a].Point, p.Holes[b].Point) }

// chain lists the pieces around a hole, outermost first.
func (p *Plate) chain(hole int) []int {
	var out []int
	for k := p.Holes[hole].Piece; k >= 0; k = p.Pieces[k].In {
		out = append([]int{k}, out...)
	}
	return out
}

// valid reports what makes a plate no plate at all. Files are checked before
// they get here, so this is for callers that are wrong.
func (p *Plate) valid() error {
	switch {
	case len(p.Holes) == 0:
		return fmt.Errorf("the plate has no holes")
	case len(p.Holes) > MaxHoles:
		return fmt.Errorf("the plate has %d holes, and %d is the most", len(p.Holes), MaxHoles)
	case !(p.Reach > 0):
		return fmt.Errorf("the reach of the cord is %g m", p.Reach)
	}
	for i, h := range p.Holes {
		if h.Piece < -1 || h.Piece >= len(p.Pieces) {
			return fmt.Errorf("hole %d is of piece %d, which is not there", i, h.Piece)
		}
	}
	for k, q := range p.Pieces {
		if q.In < -1 || q.In >= k {
			return fmt.Errorf("piece %d lies in piece %d, which is not an earlier one", k, q.In)
		}
	}
	for i := range p.Holes {
		if d := len(p.chain(i)); d > maxDepth {
			return fmt.Errorf("hole %d lies in %d pieces one in another, and %d is the most", i, d, maxDepth)
		}
	}
	return nil
}
