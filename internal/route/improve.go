package route

import "math"

// provingWork is how many comparisons the proofs of one plate may take: about
// half a second (measured).
const provingWork = 120_000_000

// prove finds how good an order of holes is at best, and may find a better
// one on the way.
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

// relaxed is the relaxation in which weight tells of every step what it
// weighs. Steps that tuck away more than the plate allows are out.
func (g *grid) relaxed(work *int, weight func(at int) float64) *relaxation {
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
	r.grow()
	r.levels = 0
	for i, j := range r.mate {
		if j >= 0 {
			r.levels += r.level[i*g.n+j]
		}
	}
	return r
}

// reachable says of a step whether it is free: one that tucks away more pixels
// than allowed is out.
func (g *grid) reachable(at int) int8 {
	if g.tuck[at] > g.plate.Tucked {
		return out
	}
	return free
}

// proveDark finds how many pixels every route tucks away at least. It may find
// a better order than the one given.
func (g *grid) proveDark(dark int, order []int, work *int) (least int, _ []int) {
	if dark == 0 {
		return 0, order
	}
	const exact = 1e-6
	r := g.relaxed(work, func(at int) float64 { return float64(g.tuck[at]) })
	p := proof{relaxation: r, best: float64(dark), gap: 1 - exact, near: 1}
	low := p.run()
	if p.order != nil {
		order = p.order
	}
	if low >= p.goal() {
		return int(math.Round(p.best)), order
	}
	return max(0, int(math.Ceil(low-exact))), order
}

// proveLength finds how long every route is at least that tucks away so many
// pixels. It may find a shorter one.
func (g *grid) proveLength(order []int, dark int, work *int) (least float64, _ []int) {
	length := g.route(order).Length
	r := g.relaxed(work, func(at int) float64 { return g.soft[at] })
	fine := 1e-9 * max(length, g.plate.Reach)
	near := hopeless
	if g.n <= few {
		near = 1
	}
	if dark == 0 {
		g.settleTucked(r)
		p := proof{relaxation: r, best: length, gap: fine, near: near}
		return p.done(order)
	}
	// A pixel more must cost more than any length that it could save. The
	// prices found on the way are a good start.
	const trees = 300
	low := r.raise(trees, length, func() {})
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
	p := proof{relaxation: r, best: length + each*float64(dark), gap: fine, near: near}
	least, order = p.done(order)
	return least - each*float64(dark), order
}

// hopeless is the share between the first bound and the best route from which
// on going through the routes would not end, unless the holes are few.
const hopeless, few = 0.03, 60

func (p *proof) done(order []int) (float64, []int) {
	low := p.run()
	if p.order != nil {
		order = p.order
	}
	return low, order
}

// settleTucked takes every step out that tucks pixels away.
func (g *grid) settleTucked(r *relaxation) {
	for i := range g.n {
		for j := range g.n + 1 {
			if i != j && g.tuck[i*(g.n+2)+j] > 0 {
				r.settle(i, j, out)
			}
		}
	}
}
