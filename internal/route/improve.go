package route

import "math"

// provingWork limits the comparisons for the proofs of one plate: about half a second
// (measured).
const provingWork = 120_000_000

// prove returns an order of holes as a route with lower bounds on tucked pixels and
// length. If the search finds a better order, the route is that one.
func (g *grid) prove(order []int) Route {
	work := provingWork
	half := work / 2
	r := g.route(order)
	dark, order := g.proveDark(r.Dark, order, &half)
	work -= provingWork/2 - max(half, 0)
	r = g.route(order)
	least, order := g.proveLength(order, r.Dark, &work)
	r = g.route(order)
	r.LeastDark, r.LeastLength = dark, min(least, r.Length)
	return r
}

// stepRelaxation returns the relaxation with the given step weights. Steps that tuck away more
// pixels than the plate allows are out.
func (g *grid) stepRelaxation(work *int, weight func(at int) float64) *relaxation {
	r, m := newRelaxation(g.n, work), g.n+2
	for i := range g.n {
		for j := range g.n {
			at := i*m + j
			r.weight[i*g.n+j], r.level[i*g.n+j] = weight(at), far*float64(g.level[at])
			if j < i {
				r.settle(i, j, g.reachable(at))
			}
		}
		r.from[i] = weight(i*m + g.start)
		if g.reachable(i*m+g.start) == out {
			r.settle(i, g.start, out)
		}
	}
	r.levels = math.Inf(1)
	r.prim()
	r.levels = 0
	for i, j := range r.mate {
		if j >= 0 {
			r.levels += r.level[i*g.n+j]
		}
	}
	return r
}

// reachable returns whether a step is free or, because it tucks away more pixels than
// allowed, out.
func (g *grid) reachable(at int) int8 {
	if g.tuck[at] > g.plate.Tucked {
		return out
	}
	return free
}

// proveDark returns a lower bound on the pixels that any route tucks away, and the
// given order or a better one.
func (g *grid) proveDark(dark int, order []int, work *int) (least int, _ []int) {
	if dark == 0 {
		return 0, order
	}
	const exact = 1e-6
	r := g.stepRelaxation(work, func(at int) float64 { return float64(g.tuck[at]) })
	p := proof{relaxation: r, best: float64(dark), gap: 1 - exact, firstGap: 1}
	low := p.run()
	if p.order != nil {
		order = p.order
	}
	if low >= p.goal() {
		return int(math.Round(p.best)), order
	}
	return max(0, int(math.Ceil(low-exact))), order
}

// proveLength returns a lower bound, in metres, on the length of routes that tuck away
// dark pixels, and the given order or a shorter one.
func (g *grid) proveLength(order []int, dark int, work *int) (least float64, _ []int) {
	length := g.route(order).Length
	r := g.stepRelaxation(work, func(at int) float64 { return g.soft[at] })
	fine := 1e-9 * max(length, g.plate.Reach)
	near := maxFirstGap
	if g.n <= fewHoles {
		near = 1
	}
	if dark == 0 {
		g.settleTucked(r)
		p := proof{relaxation: r, best: length, gap: fine, firstGap: near}
		return p.done(order)
	}
	// One more tucked pixel must cost more than any length it could save. The prices found
	// here are a good start for the proof.
	const trees = 300
	low := r.raiseBound(trees, length, func() {})
	each := max(length-low, 0) + fine
	for i := range r.weight {
		r.weight[i] += each * float64(g.tuck[i/g.n*(g.n+2)+i%g.n])
	}
	for i := range g.n {
		for j := range i {
			r.settle(i, j, r.is(i, j))
		}
	}
	for i := range r.from {
		r.from[i] += each * float64(g.tuck[i*(g.n+2)+g.start])
	}
	p := proof{relaxation: r, best: length + each*float64(dark), gap: fine, firstGap: near}
	least, order = p.done(order)
	return least - each*float64(dark), order
}

// maxFirstGap is the relative distance of the first bound from the best route beyond
// which branching would take too long, unless there are at most fewHoles holes.
const maxFirstGap, fewHoles = 0.03, 60

func (p *proof) done(order []int) (float64, []int) {
	low := p.run()
	if p.order != nil {
		order = p.order
	}
	return low, order
}

// settleTucked sets every step that tucks away pixels to out.
func (g *grid) settleTucked(r *relaxation) {
	for i := range g.n {
		for j := range g.n + 1 {
			if i != j && g.tuck[i*(g.n+2)+j] > 0 {
				r.settle(i, j, out)
			}
		}
	}
}
