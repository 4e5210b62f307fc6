package route

import "math"

// A relaxation is a 1-tree problem that gives a lower bound on every route: the
// lightest tree over all holes, plus the lightest step from the start and the lightest
// step to the end. A route is such a tree in which each hole has two steps. A price on
// each hole, raised where the hole has too many steps and lowered where it has too few,
// moves the lightest tree towards a route. Its weight less the prices stays a lower
// bound (M. Held and R. M. Karp, "The traveling-salesman problem and minimum spanning
// trees", Operations Research 18, 1970).
//
// Pieces constrain the tree as they constrain the route: inside each piece a route has
// one step fewer than members, so the tree takes the steps of inner pieces first.
type relaxation struct {
	n      int
	weight []float64 // of the steps between holes, n by n
	pick   []float64 // weight with surcharges, for choosing the lightest step
	level  []float64 // surcharge for a step outside inner pieces
	levels float64   // sum of them in every route
	from   []float64 // weight of the step from the start to each hole
	to     []float64 // of the step from each hole to the end; all 0
	fixed  []int8    // in, free or out, for every pair of nodes
	price  []float64
	work   *int // comparisons left

	degree []int
	mate   []int // the hole that each was joined to; -1 for the root
	first  int   // the hole after the start
	last   int   // the hole before the end

	key  []float64 // weight of each open hole's lightest step into the tree
	open []int     // holes not yet in the tree
}

// The state of a step in the branching.
const (
	out  int8 = -1
	free int8 = 0
	in   int8 = 1
)

// Surcharges, larger than any sum of weights and prices.
const (
	far   = 1e6  // for each level further out
	never = 1e12 // for a step that is out
)

func newRelaxation(n int, work *int) *relaxation {
	return &relaxation{n: n, work: work, weight: make([]float64, n*n), pick: make([]float64, n*n), level: make([]float64, n*n),
		from: make([]float64, n), to: make([]float64, n), fixed: make([]int8, (n+2)*(n+2)), price: make([]float64, n),
		degree: make([]int, n), mate: make([]int, n), key: make([]float64, n), open: make([]int, n)}
}

// settle sets the step between two nodes to in, out or free.
func (r *relaxation) settle(a, b int, is int8) {
	m := r.n + 2
	r.fixed[a*m+b], r.fixed[b*m+a] = is, is
	if a < r.n && b < r.n {
		x, y := a*r.n+b, b*r.n+a
		k := r.weight[x] + r.level[x] + surcharge(is)
		r.pick[x], r.pick[y] = k, k
	}
}

func (r *relaxation) is(a, b int) int8 { return r.fixed[a*(r.n+2)+b] }

// surcharge is added to a step's weight to choose the lightest step.
func surcharge(is int8) float64 {
	switch is {
	case in:
		return -never
	case out:
		return never
	}
	return 0
}

// tree finds the lightest tree at the current prices and returns its lower bound; +Inf
// when every tree needs a step that is out.
func (r *relaxation) tree() float64 {
	*r.work -= r.n * r.n / 2
	sum := r.prim()
	var a, b float64
	r.first, a = r.lightest(r.n, r.from)
	r.last, b = r.lightest(r.n+1, r.to)
	sum += a + b
	for i, p := range r.price {
		sum += p * float64(r.degree[i]-2)
	}
	return sum
}

// prim builds the tree by Prim's algorithm and returns its weight.
func (r *relaxation) prim() float64 {
	n := r.n
	for i := range n {
		r.key[i], r.open[i], r.degree[i], r.mate[i] = math.Inf(1), i, 0, -1
	}
	sum, levels, at := 0.0, 0.0, n-1
	open := r.open[:n-1]
	for len(open) > 0 {
		k := r.lower(open, at)
		at = open[k]
		if r.key[at] > never/2 {
			return math.Inf(1)
		}
		open[k] = open[len(open)-1]
		open = open[:len(open)-1]
		mate := r.mate[at]
		r.degree[at]++
		r.degree[mate]++
		sum += r.weight[at*n+mate]
		levels += r.level[at*n+mate]
	}
	return r.checkPieces(sum, levels)
}

// lower reduces the keys of the open holes to their step to the hole at, where that is
// lighter, and returns the index of the lightest in the list.
func (r *relaxation) lower(open []int, at int) (lightest int) {
	row, own, best := r.pick[at*r.n:at*r.n+r.n], r.price[at], math.Inf(1)
	key, price := r.key[:len(row)], r.price[:len(row)]
	for x, j := range open {
		k := key[j]
		if w := row[j] + own + price[j]; w < k {
			k = w
			key[j], r.mate[j] = w, at
		}
		if k < best {
			best, lightest = k, x
		}
	}
	return lightest
}

// checkPieces returns the weight of a tree, or +Inf when the fixed steps break up a piece.
// The tree then has more steps outside inner pieces than a route has.
func (r *relaxation) checkPieces(sum, levels float64) float64 {
	if levels > r.levels+far/2 {
		return math.Inf(1)
	}
	return sum
}

// lightest returns the lightest step between the node and a hole.
func (r *relaxation) lightest(node int, weight []float64) (hole int, w float64) {
	best := math.Inf(1)
	for i, x := range weight {
		if k := x + r.price[i] + surcharge(r.is(node, i)); k < best {
			best, hole = k, i
		}
	}
	if best > never/2 {
		return hole, math.Inf(1)
	}
	r.degree[hole]++
	return hole, weight[hole]
}

// isRoute reports whether the last tree is a route.
func (r *relaxation) isRoute() bool {
	for _, d := range r.degree {
		if d != 2 {
			return false
		}
	}
	return true
}

// order returns the last tree as a route.
func (r *relaxation) order() []int {
	next := make([][]int, r.n)
	for i, j := range r.mate {
		if j >= 0 {
			next[i], next[j] = append(next[i], j), append(next[j], i)
		}
	}
	order := []int{r.first}
	for before := -1; len(order) < r.n; {
		at := order[len(order)-1]
		for _, j := range next[at] {
			if j != before {
				order = append(order, j)
				break
			}
		}
		before = at
	}
	return order
}

// raiseBound adjusts the prices for at most the given number of trees and returns the best
// bound, leaving its prices in place. It stops early when a bound reaches goal, or when
// a tree is a route, after calling found.
func (r *relaxation) raiseBound(trees int, goal float64, found func()) float64 {
	best := math.Inf(-1)
	kept := append([]float64(nil), r.price...)
	pace, since := 1.0, 0
	for range trees {
		v := r.tree()
		if v > best {
			best, since = v, 0
			copy(kept, r.price)
		} else {
			since++
		}
		if r.isRoute() {
			found()
			break
		}
		if best >= goal || *r.work < 0 {
			break
		}
		if since > 8 {
			pace, since = pace*0.6, 0
			if pace < 1e-4 {
				break
			}
		}
		r.movePrices(pace * max(goal-v, 1e-3*math.Abs(goal)))
	}
	copy(r.price, kept)
	return best
}

// movePrices raises the price of holes with too many steps and lowers that of holes with too
// few. way is the wanted increase of the bound.
func (r *relaxation) movePrices(way float64) {
	off := 0
	for _, d := range r.degree {
		off += (d - 2) * (d - 2)
	}
	for i, d := range r.degree {
		r.price[i] += way / float64(off) * float64(d-2)
	}
}
