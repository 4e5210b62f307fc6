package route

import (
	"fmt"
	"math"
	"slices"

	"example.org/ringout/internal/sorting"
)

// A Gap is holes that no allowed step joins to the others: to those of their
// piece, to all others, or to where the data comes in.
type Gap struct {
	Holes   []int // the ones left out
	Piece   int   // the piece that they part from; -1 for the plate
	Start   bool  // the gap lies between where the data comes in and all holes
	From    int   // of the holes left out, the nearest one
	To      int   // the nearest of the rest; -1 when Start
	Step    float64
	Tucking int // pixels that this step would tuck away
}

// Gaps are all places where the string can't go on because even the nearest
// hole takes more pixels tucked away in one step than the plate allows. A
// plate without them may still have no route.
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
	if len(out) == 0 { // what parts a piece may part the plate in the same place
		out = p.gapsIn(all, -1)
	}
	if g, far := p.leadGap(all); far {
		out = append(out, g)
	}
	return out
}

// holesOf are the holes of a piece, those of pieces inside it included.
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

// gap is the shortest way from the holes left out to the rest.
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

// islands are groups of holes joined by allowed steps, the largest first.
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

// leadGap says that even the hole nearest to where the data comes in is out
// of the lead's reach.
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

// A StepError says that the best route found has a step that tucks away more
// pixels than the plate allows, though no single hole is out of reach.
type StepError struct {
	From, To int // holes; From is -1 for where the data comes in
	Step     float64
	Tucking  int
	Allowed  int
	Enough   int // with so many allowed a route was found
}

// Error names holes by their index: callers that know better names make their
// own sentence of the fields.
func (e *StepError) Error() string {
	return fmt.Sprintf("no route was found: from hole %d to hole %d it is %.4g m: that tucks away %d pixels in a row where %d are allowed",
		e.From, e.To, e.Step, e.Tucking, e.Allowed)
}

// refusedStep is the first step of an order that tucks away too many.
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
