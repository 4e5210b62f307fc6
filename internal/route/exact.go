package route

import (
	"math"
	"slices"
)

// Pieces split a plate into small problems: a piece is entered at one hole and left at
// another, and the order inside does not depend on the rest. If all of them are small
// enough, the best route follows from tables of the best path through every subset of
// members (M. Held and R. M. Karp, "A dynamic programming approach to sequencing
// problems", SIAM Journal 10, 1962), inner pieces first.

// exactWork limits the additions for the tables of one plate: about a third of a second
// (measured).
const exactWork = 250_000_000

// A member is one hole, or a piece with members of its own.
type member struct {
	holes   []int
	inside  []*member   // nil for a hole
	through [][]float64 // cost from each of its holes to each other through all of it
}

// members builds the tree of pieces; its root is the whole plate.
func (g *grid) members() *member {
	root := &member{}
	pieces := make([]*member, len(g.plate.Pieces))
	parent := func(k int) *member {
		if k < 0 {
			return root
		}
		return pieces[k]
	}
	for k, q := range g.plate.Pieces {
		pieces[k] = &member{}
		parent(q.In).inside = append(parent(q.In).inside, pieces[k])
	}
	for i, h := range g.plate.Holes {
		parent(h.Piece).inside = append(parent(h.Piece).inside, &member{holes: []int{i}, through: [][]float64{{0}}})
	}
	root.gather()
	for len(root.inside) == 1 && root.inside[0].inside != nil { // a piece with all holes constrains nothing
		root = root.inside[0]
	}
	return root
}

// gather collects the holes of all members and removes members without any.
func (m *member) gather() {
	if m.inside == nil {
		return
	}
	for _, c := range m.inside {
		c.gather()
	}
	m.inside = slices.DeleteFunc(m.inside, func(c *member) bool { return len(c.holes) == 0 })
	for _, c := range m.inside {
		m.holes = append(m.holes, c.holes...)
	}
}

// work is the number of additions for the tables of a member entered at the given
// number of holes, including the tables of members inside it.
func (m *member) work(entries int) float64 {
	h := float64(len(m.holes))
	sum := math.Pow(2, float64(len(m.inside))) * h * h * float64(entries)
	for _, c := range m.inside {
		if c.inside != nil {
			sum += c.work(len(c.holes))
		}
	}
	return sum
}

// exact returns the order of least cost. ok is false if the tables would take more than
// exactWork additions, or the plate has more than 20 members.
func (g *grid) exact() (order []int, ok bool) {
	root := g.members()
	if root.work(1) > exactWork || len(root.inside) > 20 {
		return nil, false
	}
	e := exactSearch{grid: g}
	for _, d := range g.soft {
		e.unit = max(e.unit, d)
	}
	e.unit *= float64(2 * (g.n + 1))
	for _, c := range root.inside {
		e.fill(c)
	}
	enter := make([]float64, len(root.holes))
	for i, h := range root.holes {
		enter[i] = e.cost(g.start, h)
	}
	t := e.table(root, enter)
	full := t[len(t)-1]
	last := 0
	for i, c := range full {
		if c < full[last] {
			last = i
		}
	}
	return e.trace(root, enter, t, last), true
}

// An exactSearch combines a cost into one number, in which a tucked pixel weighs more
// than any length.
type exactSearch struct {
	*grid
	unit float64 // metres that one tucked pixel counts as, more than any route has
}

func (e *exactSearch) cost(a, b int) float64 {
	at := a*(e.n+2) + b
	hard := e.hard[at] - e.broken*int64(e.level[at]) // the tables never break up a piece
	return float64(hard)*e.unit + e.soft[at]
}

// fill computes the paths through a piece, from each hole to each.
func (e *exactSearch) fill(m *member) {
	if m.inside == nil {
		return
	}
	for _, c := range m.inside {
		e.fill(c)
	}
	m.through = make([][]float64, len(m.holes))
	for a := range m.holes {
		enter := make([]float64, len(m.holes))
		for i := range enter {
			enter[i] = math.Inf(1)
		}
		enter[a] = 0
		t := e.table(m, enter)
		m.through[a] = t[len(t)-1]
	}
}

// table gives, for every subset of members (as bits), the cost of the best path that
// enters at the given cost of each hole, passes the subset and ends at each hole.
func (e *exactSearch) table(m *member, enter []float64) [][]float64 {
	sets := 1 << len(m.inside)
	t := make([][]float64, sets)
	for set := 1; set < sets; set++ {
		t[set] = make([]float64, len(m.holes))
		for i := range t[set] {
			t[set][i] = math.Inf(1)
		}
		first := 0
		for k, c := range m.inside {
			if set&(1<<k) != 0 {
				e.extend(m, t, set, k, first, enter)
			}
			first += len(c.holes)
		}
	}
	return t
}

// extend computes the paths through a subset that end in member k, whose holes start at
// index first.
func (e *exactSearch) extend(m *member, t [][]float64, set, k, first int, enter []float64) {
	c := m.inside[k]
	before := t[set&^(1<<k)]
	for x, hole := range c.holes {
		in := math.Inf(1)
		if before == nil {
			in = enter[first+x]
		}
		for i, w := range before {
			if !math.IsInf(w, 1) {
				in = min(in, w+e.cost(m.holes[i], hole))
			}
		}
		if math.IsInf(in, 1) {
			continue
		}
		for y, w := range c.through[x] {
			t[set][first+y] = min(t[set][first+y], in+w)
		}
	}
}

// trace follows a table back from the hole at an index and returns the order of all
// holes of the member.
func (e *exactSearch) trace(m *member, enter []float64, t [][]float64, last int) []int {
	if m.inside == nil {
		return slices.Clone(m.holes)
	}
	var out []int
	for set := len(t) - 1; set > 0; {
		k, first := m.of(last)
		c := m.inside[k]
		set &^= 1 << k
		x, from := e.origin(m, enter, t[set], c, first, last-first, t[set|1<<k][last])
		way := []int{c.holes[0]}
		if c.inside != nil {
			only := make([]float64, len(c.holes))
			for i := range only {
				only[i] = math.Inf(1)
			}
			only[x] = 0
			way = e.trace(c, only, e.table(c, only), last-first)
		}
		out = append(way, out...)
		last = from
	}
	return out
}

// of returns the member that contains the hole at an index, and where its holes start.
func (m *member) of(place int) (k, first int) {
	for k, c := range m.inside {
		if place < first+len(c.holes) {
			return k, first
		}
		first += len(c.holes)
	}
	return -1, 0
}

// origin finds where the best path entered a member that it leaves at y at the given
// cost: the hole x, and the index of the hole before it.
func (e *exactSearch) origin(m *member, enter, before []float64, c *member, first, y int, cost float64) (x, from int) {
	best := math.Inf(1)
	for i, hole := range c.holes {
		way := c.through[i][y]
		if before == nil {
			if d := math.Abs(enter[first+i] + way - cost); d < best {
				best, x, from = d, i, 0
			}
		}
		for j, w := range before {
			if d := math.Abs(w + e.cost(m.holes[j], hole) + way - cost); d < best {
				best, x, from = d, i, j
			}
		}
	}
	return x, from
}
