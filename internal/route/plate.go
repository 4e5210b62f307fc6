// Package route finds the route of a pixel string through the holes of a plate.
//
// A string has one length of cord between neighbouring pixels and is pushed into the
// holes from the back. A step from hole to hole that is longer than the reach of the
// cord is bridged by tucked pixels, which stay dark behind the plate. Each adds one
// reach, so a step of length d takes ceil(d/reach)-1 of them. The best route
//
//  1. keeps the holes of every piece (a word, a digit) in one unbroken sequence,
//  2. tucks away the fewest pixels, none of its steps more than the plate allows,
//  3. has the shortest straight-line length from the data input through all holes.
//
// Lengths are metres, x to the right and y up, as seen from the lit face. Holes and
// pixels count from 0. Nothing here reads a file or a clock. The search draws random
// numbers from a fixed seed, so a plate always gets the same route.
package route

import (
	"fmt"
	"math"
)

// MaxHoles is the most holes a plate may have.
const MaxHoles = 1000

// maxDepth is how deeply pieces may be nested.
const maxDepth = 4

// A Point is a position on the plate.
type Point struct{ X, Y float64 }

// A Hole takes one lit pixel.
type Hole struct {
	Point
	Piece int // the innermost piece it belongs to, an index of Plate.Pieces; -1 for none
}

// A Piece is a set of holes that must be consecutive along the string.
type Piece struct {
	Name string
	In   int // the piece that contains it, always an earlier one; -1 for none
}

// A Plate is the plate of holes and the limits of its string.
type Plate struct {
	Holes  []Hole
	Pieces []Piece
	Reach  float64 // of the taut cord between two pixels, from hole to hole
	Start  *Point  // data input; nil allows any first hole
	Lead   float64 // reach of the lead from Start to the first pixel; 0 for any length
	Pixels int     // of the string; 0 for as many as needed
	Tucked int     // most pixels tucked away in one step
}

// reachTolerance is the relative rounding tolerance of a step against the reach.
const reachTolerance = 1e-9

// Tuck is the number of pixels tucked away in a step of the given length, in metres.
func (p *Plate) Tuck(step float64) int { return bridge(step, p.Reach) }

// TuckLead is the number of pixels tucked away before the first hole when that hole is
// step metres from the data input.
func (p *Plate) TuckLead(step float64) int {
	if p.Lead <= 0 {
		return 0
	}
	if step <= p.Lead*(1+reachTolerance) {
		return 0
	}
	return 1 + bridge(step-p.Lead, p.Reach)
}

func bridge(step, reach float64) int {
	if step <= reach*(1+reachTolerance) {
		return 0
	}
	return int(math.Ceil(step/reach*(1-reachTolerance))) - 1
}

// lead is the distance from the data input to a hole.
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

// valid reports an invalid plate. Files are checked earlier, so an error here is a
// caller's mistake.
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
