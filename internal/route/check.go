package route

import (
	"fmt"
	"math"
	"slices"

	"example.org/ringout/internal/sorting"
)

// A Gap is a set of holes that no allowed step joins to the others: to those of their
// piece, to all others, or to the data input.
type Gap struct {
	Holes   []int // the unreachable holes
	Piece   int   // the piece they are cut off from; -1 for the plate
	Start   bool  // the gap is between the data input and all holes
	From    int   // the nearest unreachable hole
	To      int   // the nearest other hole; -1 when Start
	Step    float64
	Tucking int // pixels that the step between them would tuck away
}

// Gaps lists the places where the string cannot continue because even the nearest hole
// needs more tucked pixels in one step than the plate allows. A plate without gaps may
// still have no route.
func (p *Plate) Gaps() []Gap {
	if p.valid() != nil {
		return nil
	}
	var out []Gap
	for k := range p.Pieces {
		out = append(out, p.gapsIn(p.holesOf(k), k)...)
	}
	all := make([]int, len(p.Holes))
	for i := range all {
		all[i] = i
	}
	if len(out) == 0 { // a gap in a piece may be the plate's gap too, so report it once
		out = p.gapsIn(all, -1)
	}
	if g, far := p.leadGap(all); far {
		out = append(out, g)
	}
	return out
}

// holesOf lists the holes of a piece, including those of pieces inside it.
func (p *Plate) holesOf(piece int) []int {
	var out []int
	for i := range p.Holes {
		if slices.Contains(p.chain(i), piece) {
			out = append(out, i)
		}
	}
	return out
}

// gapsIn finds the islands among some holes; all but the largest are gaps.
func (p *Plate) gapsIn(holes []int, piece int) []Gap {
	islands := p.islands(holes)
	if len(islands) < 2 {
		return nil
	}
	var out []Gap
	for _, left := range islands[1:] {
		rest := slices.DeleteFunc(slices.Clone(holes), func(h int) bool { return slices.Contains(left, h) })
		out = append(out, p.gap(left, rest, piece))
	}
	return out
}

// gap is the shortest step from the unreachable holes to the rest.
func (p *Plate) gap(left, rest []int, piece int) Gap {
	g := Gap{Holes: left, Piece: piece, Step: math.Inf(1)}
	for _, a := range left {
		for _, b := range rest {
			if d := p.step(a, b); d < g.Step {
				g.From, g.To, g.Step = a, b, d
			}
		}
	}
	g.Tucking = p.Tuck(g.Step)
	return g
}

// islands groups holes joined by allowed steps, the largest group first.
func (p *Plate) islands(holes []int) [][]int {
	left := slices.Clone(holes)
	var out [][]int
	for len(left) > 0 {
		island := []int{left[0]}
		left = left[1:]
		for i := 0; i < len(island); i++ {
			left = slices.DeleteFunc(left, func(h int) bool {
				joined := p.Tuck(p.step(island[i], h)) <= p.Tucked
				if joined {
					island = append(island, h)
				}
				return joined
			})
		}
		slices.Sort(island)
		out = append(out, island)
	}
	sorting.Stable(out, func(a, b []int) int { return len(b) - len(a) })
	return out
}

// leadGap reports that even the hole nearest to the data input is out of the lead's
// reach.
func (p *Plate) leadGap(holes []int) (Gap, bool) {
	if p.Start == nil || len(holes) == 0 {
		return Gap{}, false
	}
	g := Gap{Holes: holes, Piece: -1, Start: true, To: -1, Step: math.Inf(1)}
	for _, h := range holes {
		if d := p.lead(h); d < g.Step {
			g.From, g.Step = h, d
		}
	}
	g.Tucking = p.TuckLead(g.Step)
	return g, g.Tucking > p.Tucked
}

// A StepError says that the best route found has a step that tucks away more pixels
// than the plate allows, though no single hole is out of reach.
type StepError struct {
	From, To int // holes; From is -1 for the data input
	Step     float64
	Tucking  int
	Allowed  int
	Enough   int // with this many allowed a route was found
}

// Error names holes by index; callers with better names make a sentence from the
// fields.
func (e *StepError) Error() string {
	return fmt.Sprintf("no route was found: from hole %d to hole %d it is %.4g m: that tucks away %d pixels in a row where %d are allowed",
		e.From, e.To, e.Step, e.Tucking, e.Allowed)
}

// refusedStep returns the first step of an order that tucks away too many pixels.
func (g *grid) refusedStep(order []int) *StepError {
	from := g.start
	for _, h := range order {
		at := from*(g.n+2) + h
		if g.tuck[at] > g.plate.Tucked {
			e := &StepError{From: from, To: h, Step: g.soft[at], Tucking: g.tuck[at], Allowed: g.plate.Tucked}
			if from == g.start {
				e.From = -1
			}
			return e
		}
		from = h
	}
	return nil
}
