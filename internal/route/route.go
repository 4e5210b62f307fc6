package route

// A Route is an order of all holes of a plate along the string.
type Route struct {
	Order  []int   // holes in string order
	Tucked []int   // Tucked[i] pixels are tucked away before Order[i]
	Dark   int     // sum of Tucked
	Length float64 // metres, straight from hole to hole, including the lead

	LeastDark   int     // no route tucks away fewer
	LeastLength float64 // no route that tucks away LeastDark, or Dark where that is not proven, is shorter
}

// Fewest reports whether it is proven that no route tucks away fewer pixels.
func (r Route) Fewest() bool { return r.Dark == r.LeastDark }

// Shortest reports whether it is proven that no route with as few tucked pixels is
// shorter by more than a millionth.
func (r Route) Shortest() bool { return r.Fewest() && r.Length-r.LeastLength <= 1e-6*r.Length }

// Pixels is the number of pixels that the route takes: holes and tucked pixels.
func (r Route) Pixels() int { return len(r.Order) + r.Dark }

// Solve finds a route. If the search finds none within the limit of tucked pixels in
// one step, the error is a *StepError.
func Solve(p *Plate) (Route, error) {
	if err := p.valid(); err != nil {
		return Route{}, err
	}
	g := newGrid(p)
	order, exact := g.best()
	if err := g.refusedStep(order); err != nil {
		err.Enough = enoughTucked(*p, err.Tucking)
		return g.route(order), err
	}
	if !exact {
		return g.prove(order), nil
	}
	r := g.route(order)
	r.LeastDark, r.LeastLength = r.Dark, r.Length
	return r, nil
}

// best returns the best order found, and whether it is proven best.
func (g *grid) best() (order []int, exact bool) {
	s := newSearch(g)
	s.shake(rounds(g.n))
	order = s.tour.order()
	best, exact := g.exact()
	if exact && g.total(best).less(g.total(order)) {
		order = best
	}
	return order, exact
}

// enoughTucked is the limit of tucked pixels in one step that gives a route. With most a
// route is already known.
func enoughTucked(p Plate, most int) int {
	for p.Tucked++; p.Tucked < most; p.Tucked++ {
		g := newGrid(&p)
		if order, _ := g.best(); g.refusedStep(order) == nil {
			break
		}
	}
	return p.Tucked
}

// rounds limits the rounds of shake for a plate of n holes: more than enough for a few
// holes. With many, searchWork ends it first.
func rounds(n int) int { return min(150*n, 15_000) }

// route returns an order of holes with its figures, without proof.
func (g *grid) route(order []int) Route {
	r := Route{Order: order, Tucked: make([]int, len(order))}
	from := g.start
	for i, h := range order {
		r.Tucked[i] = g.tuck[from*(g.n+2)+h]
		r.Dark += r.Tucked[i]
		r.Length += g.soft[from*(g.n+2)+h]
		from = h
	}
	return r
}

// Along returns the route in the given order of holes, without proof.
func (p *Plate) Along(order []int) Route { return newGrid(p).route(order) }
