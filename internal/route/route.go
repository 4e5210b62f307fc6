package route

// A Route is the way of the string through all holes of a plate.
type Route struct {
	Order  []int   // holes as the string meets them
	Tucked []int   // Tucked[i] pixels are tucked away before Order[i]
	Dark   int     // all of them together
	Length float64 // metres, straight from hole to hole, with the way from the start

	LeastDark   int     // no route tucks away fewer
	LeastLength float64 // no route that tucks away LeastDark, or Dark where that is not proven, is shorter
}

// Fewest reports whether it is proven that no route tucks away fewer pixels.
func (r Route) Fewest() bool { return r.Dark == r.LeastDark }

// Shortest reports whether it is proven that no route with as few pixels
// tucked away is shorter, to a millionth.
func (r Route) Shortest() bool { return r.Fewest() && r.Length-r.LeastLength <= 1e-6*r.Length }

// Pixels is how many the route takes of a string: the holes and those tucked
// away on the way.
func (r Route) Pixels() int { return len(r.Order) + r.Dark }

// Solve finds a route. Where no route keeps to the most pixels tucked away in
// one step, as far as the search can tell, the error is a *StepError.
func Solve(p *Plate) (Route, error) {
	if err := p.valid(); err != nil {
		return Route{}, err
	}
	g := newGrid(p)
	order, exact := g.best()
	if err := g.refusedStep(order); err != nil {
		err.Enough = enough(*p, err.Tucking)
		return g.route(order), err
	}
	if !exact {
		return g.prove(order), nil
	}
	r := g.route(order)
	r.LeastDark, r.LeastLength = r.Dark, r.Length
	return r, nil
}

// best is the best order found, and whether it is known to be the best of all.
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

// enough is how many pixels tucked away in one step have to be allowed for a
// route. With most of them one was found.
func enough(p Plate, most int) int {
	for p.Tucked++; p.Tucked < most; p.Tucked++ {
		g := newGrid(&p)
		if order, _ := g.best(); g.refusedStep(order) == nil {
			break
		}
	}
	return p.Tucked
}

// rounds is how often the search shakes a plate of n holes at most: more than
// enough for a few. For many searchWork ends it.
func rounds(n int) int { return min(150*n, 15_000) }

// route is an order of holes with its figures, without any proof.
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

// Along is the route that takes the holes in the order given, without any
// proof.
func (p *Plate) Along(order []int) Route { return newGrid(p).route(order) }
