package route

// A cost is the cost of a step or of an exchange: hard is compared first, then soft.
type cost struct {
	hard int64   // broken pieces, steps not allowed, pixels tucked away
	soft float64 // metres
}

func (a cost) plus(b cost) cost  { return cost{a.hard + b.hard, a.soft + b.soft} }
func (a cost) minus(b cost) cost { return cost{a.hard - b.hard, a.soft - b.soft} }

// costTolerance is the difference in metres below which two lengths count as equal.
const costTolerance = 1e-10

func (a cost) less(b cost) bool {
	return a.hard < b.hard || a.hard == b.hard && a.soft < b.soft-costTolerance
}

// A grid holds the costs of all steps. Nodes are the holes, then the start of the
// string, then its end.
type grid struct {
	plate      *Plate
	n          int       // holes
	start, end int       // the two nodes that are not holes
	hard       []int64   // of every step; this and the next three are n+2 by n+2
	soft       []float64 // metres
	tuck       []int     // pixels tucked away in a step; 0 for steps to the end
	level      []int     // how far out the innermost piece with both ends of a step is
	refused    int64     // hard cost of a step that tucks away more than allowed
	broken     int64     // hard cost of leaving one level of pieces
}

func newGrid(p *Plate) *grid {
	n := len(p.Holes)
	g := &grid{plate: p, n: n, start: n, end: n + 1}
	m := n + 2
	g.hard, g.soft = make([]int64, m*m), make([]float64, m*m)
	g.tuck, g.level = make([]int, m*m), make([]int, m*m)
	most := max(p.Tucked, 0)
	g.refused = int64(n+1)*int64(most+1) + 1
	g.broken = g.refused * int64(n+2)
	chains := make([][]int, n)
	deepest := 0
	for i := range chains {
		chains[i] = p.chain(i)
		deepest = max(deepest, len(chains[i]))
	}
	for i := range n {
		for j := range i {
			d := p.step(i, j)
			g.set(i, j, d, p.Tuck(d), deepest-common(chains[i], chains[j]), most)
		}
		d := p.lead(i)
		tuck := 0
		if p.Start != nil {
			tuck = p.TuckLead(d)
		}
		g.set(i, g.start, d, tuck, 0, most)
	}
	at := g.start*(n+2) + g.end
	g.hard[at], g.hard[at+n+1] = -1<<50, -1<<50 // this step is never removed: see tour
	return g
}

// common is the number of pieces that contain both holes.
func common(a, b []int) int {
	k := 0
	for k < len(a) && k < len(b) && a[k] == b[k] {
		k++
	}
	return k
}

// set sets a step in both directions. most is the plate's limit of tucked pixels in one step.
func (g *grid) set(i, j int, soft float64, tuck, level, most int) {
	m := g.n + 2
	hard := int64(min(tuck, most)) + int64(level)*g.broken
	if tuck > most {
		hard += g.refused
	}
	for _, at := range [2]int{i*m + j, j*m + i} {
		g.hard[at], g.soft[at], g.tuck[at], g.level[at] = hard, soft, tuck, level
	}
}

// of returns the cost of the step from node i to node j.
func (g *grid) of(i, j int) cost {
	at := i*(g.n+2) + j
	return cost{g.hard[at], g.soft[at]}
}

// total is the cost of an order of holes.
func (g *grid) total(order []int) cost {
	c := g.of(g.start, order[0])
	for i := 1; i < len(order); i++ {
		c = c.plus(g.of(order[i-1], order[i]))
	}
	return c.plus(g.of(order[len(order)-1], g.end))
}
