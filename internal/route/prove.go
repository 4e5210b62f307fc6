package route

// A proof is a branch-and-bound search of all routes that could be better than the best
// known one. It branches on the steps of a hole that has more than two, and prunes
// where the bound excludes a better route (T. Volgenant and R. Jonker, "A branch and
// bound algorithm for the symmetric traveling salesman problem based on the 1-tree
// relaxation", European Journal of Operational Research 9, 1982).
type proof struct {
	*relaxation
	best     float64 // weight of the best route known
	gap      float64 // an improvement smaller than this does not count
	firstGap float64 // largest relative distance of the first bound from the best to start branching
	order    []int   // a better route, once found
}

// goal is the bound that leaves no better route.
func (p *proof) goal() float64 { return p.best - p.gap }

// run returns a lower bound on all routes. If it reaches goal, the best route is
// proven.
func (p *proof) run() float64 {
	const trees = 1500
	low := p.raiseBound(trees, p.goal(), p.found)
	if low >= p.goal() || low < p.best*(1-p.firstGap) {
		return min(low, p.best)
	}
	if p.branch(low) {
		return p.best
	}
	return min(low, p.best)
}

// found keeps the current tree's route if it is better.
func (p *proof) found() {
	order := p.relaxation.order()
	v := p.from[order[0]] + p.to[order[p.n-1]]
	for i := 1; i < p.n; i++ {
		v += p.weight[order[i-1]*p.n+order[i]]
	}
	if v < p.goal() {
		p.best, p.order = v, order
	}
}

// branch searches all routes that the fixed steps allow. It reports false when the work
// limit is reached first.
func (p *proof) branch(low float64) bool {
	if low >= p.goal() {
		return true
	}
	if *p.work < 0 {
		return false
	}
	p.tree()         // at the prices of the bound
	if p.isRoute() { // the best of the routes left
		p.found()
		return true
	}
	hole, a, b := p.split()
	prices := append([]float64(nil), p.price...)
	for _, part := range [3]func() []change{
		func() []change { return p.put(change{hole, a, out}) },
		func() []change { return p.put(change{hole, a, in}, change{hole, b, out}) },
		func() []change { return p.put(change{hole, a, in}, change{hole, b, in}) },
	} {
		done := part()
		whole := true
		if p.possible() {
			const trees = 25
			whole = p.branch(p.raiseBound(trees, p.goal(), p.found))
		}
		p.undo(done)
		copy(p.price, prices)
		if !whole {
			return false
		}
	}
	return true
}

// A change fixes the state of a step between two nodes.
type change struct {
	a, b int
	is   int8
}

// put applies changes and returns the previous states. When both steps of a node are
// in, all its others are set to out.
func (p *proof) put(all ...change) []change {
	var done []change
	set := func(a, b int, is int8) {
		if was := p.is(a, b); was != is {
			done = append(done, change{a, b, was})
			p.settle(a, b, is)
		}
	}
	for _, c := range all {
		set(c.a, c.b, c.is)
	}
	for _, c := range all {
		p.closeNode(c.a, set)
		p.closeNode(c.b, set)
	}
	return done
}

// closeNode sets the free steps of a node to out once it has all its steps.
func (p *proof) closeNode(node int, set func(a, b int, is int8)) {
	if p.stepsIn(node) != p.want(node) {
		return
	}
	for j := range p.n + 2 {
		if j != node && p.is(node, j) == free {
			set(node, j, out)
		}
	}
}

func (p *proof) undo(done []change) {
	for i := len(done) - 1; i >= 0; i-- {
		p.settle(done[i].a, done[i].b, done[i].is)
	}
}

// want is the number of steps that a node has in a route.
func (p *proof) want(node int) int {
	if node >= p.n {
		return 1
	}
	return 2
}

func (p *proof) stepsIn(node int) int { return p.count(node, in) }

func (p *proof) count(node int, is int8) (k int) {
	for j := range p.n + 2 {
		if j != node && p.is(node, j) == is {
			k++
		}
	}
	return k
}

// possible reports whether the fixed steps allow a route: no node has too many steps
// in, and they form no cycle.
func (p *proof) possible() bool {
	root := make([]int, p.n+2)
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	for i := range root {
		if p.stepsIn(i) > p.want(i) {
			return false
		}
		for j := range i {
			if p.is(i, j) != in {
				continue
			}
			a, b := find(i), find(j)
			if a == b {
				return false
			}
			root[a] = b
		}
	}
	return p.n == 1 || find(p.n) != find(p.n+1) || p.allIn(find)
}

// allIn reports whether start and end, if connected, are connected through all holes.
func (p *proof) allIn(find func(int) int) bool {
	for i := range p.n {
		if find(i) != find(p.n) {
			return false
		}
	}
	return true
}

// split picks the hole with the most steps in the tree, more than two, and the other
// ends of two of its free steps. hole is -1 if there is none.
func (p *proof) split() (hole, a, b int) {
	hole = -1
	for i, d := range p.degree {
		if d > 2 && (hole < 0 || d > p.degree[hole]) {
			if x := p.freeSteps(i); len(x) >= 2 {
				hole, a, b = i, x[0], x[1]
			}
		}
	}
	return hole, a, b
}

// freeSteps lists the nodes joined to a hole in the tree by free steps.
func (p *proof) freeSteps(hole int) (all []int) {
	add := func(to int) {
		if p.is(hole, to) == free {
			all = append(all, to)
		}
	}
	for i, j := range p.mate {
		switch {
		case j == hole:
			add(i)
		case i == hole && j >= 0:
			add(j)
		}
	}
	if p.first == hole {
		add(p.n)
	}
	if p.last == hole {
		add(p.n + 1)
	}
	return all
}
