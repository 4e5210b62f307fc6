package route

import (
	"math/rand/v2"
	"slices"
)

// A search improves a tour by exchanging steps, perturbs it locally, improves it again
// and keeps the result unless it is worse.
type search struct {
	*grid
	near   [][]int // see neighbours
	tour   *tour
	best   cost // of tour
	random *rand.Rand
	queue  []int  // nodes around which an exchange may help
	queued []bool // by node
	outer  int    // level of a step outside all pieces
}

func newSearch(g *grid) *search {
	s := &search{grid: g, random: rand.New(rand.NewPCG(7, uint64(g.n))), queued: make([]bool, g.n+2)}
	for i := range g.n {
		s.outer = max(s.outer, len(g.plate.chain(i)))
	}
	s.near = g.neighbours()
	order := g.nearestFirst()
	s.tour, s.best = newTour(g, order), g.total(order)
	for v := range g.n + 2 {
		s.wake(v)
	}
	s.settle()
	return s
}

// neighbours lists for each node the best holes to join it to, best first: the nearest
// ones in its innermost piece and in each level further out.
func (g *grid) neighbours() [][]int {
	const each = 8
	out := make([][]int, g.n+2)
	for i := range g.n + 1 { // the end of the string joins any hole at no cost
		if i == g.start && g.plate.Start == nil {
			continue
		}
		all := make([]int, 0, g.n)
		for j := range g.n {
			if j != i {
				all = append(all, j)
			}
		}
		slices.SortFunc(all, func(a, b int) int {
			x, y := g.of(i, a), g.of(i, b)
			switch {
			case x.less(y):
				return -1
			case y.less(x):
				return 1
			}
			return a - b
		})
		levels := map[int]int{}
		for _, j := range all {
			if l := g.level[i*(g.n+2)+j]; levels[l] < each {
				levels[l]++
				out[i] = append(out[i], j)
			}
		}
	}
	return out
}

// nearestFirst goes from each hole to the cheapest remaining one. Steps inside a piece
// cost less than steps out of it, so each piece is finished before it is left.
func (g *grid) nearestFirst() []int {
	order := make([]int, 0, g.n)
	done := make([]bool, g.n)
	for from := g.start; len(order) < g.n; {
		best := -1
		for j := range g.n {
			if !done[j] && (best < 0 || g.of(from, j).less(g.of(from, best))) {
				best = j
			}
		}
		order, done[best], from = append(order, best), true, best
	}
	return order
}

func (s *search) wake(v int) {
	if !s.queued[v] {
		s.queued[v] = true
		s.queue = append(s.queue, v)
	}
}

// settle improves the tour around every queued node until no exchange helps.
func (s *search) settle() {
	for len(s.queue) > 0 {
		v := s.queue[len(s.queue)-1]
		s.queue = s.queue[:len(s.queue)-1]
		s.queued[v] = false
		for {
			mark := len(s.tour.log)
			won, ok := s.tour.improve(s.near, v)
			if !ok {
				break
			}
			s.best = s.best.minus(won)
			for _, r := range s.tour.log[mark:] {
				s.wakeEnds(r)
			}
		}
	}
}

// wakeEnds queues the nodes at and beside the ends of a reversed segment.
func (s *search) wakeEnds(r [2]int) {
	m := len(s.tour.at)
	for _, i := range [4]int{r[0], r[1], (r[0] - 1 + m) % m, (r[1] + 1) % m} {
		s.wake(s.tour.at[i])
	}
}

// searchWork limits the exchanges of nodes in the search of one plate: about half a
// second (measured).
const searchWork = 100_000_000

// shake swaps adjacent segments and improves the tour again, for the given number of
// rounds. A worse tour is undone.
func (s *search) shake(rounds int) {
	if s.n < 4 {
		return
	}
	for range rounds {
		if s.tour.work > searchWork {
			return
		}
		before := s.best
		s.tour.log = s.tour.log[:0]
		if !s.kick() {
			continue
		}
		s.settle()
		if before.less(s.best) {
			s.tour.undo(0)
			s.best = before
		}
	}
}

// kick swaps two adjacent segments. Its three cuts are at one level of the pieces and
// in one piece, so no piece is broken up.
func (s *search) kick() bool {
	const reach = 30
	m := len(s.tour.at)
	first := s.random.IntN(m)
	want := s.cut(first)
	cuts := []int{first}
	for i := 1; i < min(reach, m-1) && len(cuts) < 3; i++ {
		place := (first + i) % m
		switch l := s.cut(place); {
		case l > want:
			return false
		case l == want && s.random.IntN(3) == 0:
			cuts = append(cuts, place)
		}
	}
	if len(cuts) < 3 || want > s.outer {
		return false
	}
	s.swap(cuts)
	return true
}

// cut is the level of the step after an index of the tour. The step that is never
// removed has the highest.
func (s *search) cut(place int) int {
	a, b := s.tour.at[place], s.tour.at[(place+1)%len(s.tour.at)]
	switch {
	case a >= s.n && b >= s.n:
		return s.outer + 1
	case a >= s.n || b >= s.n:
		return s.outer
	}
	return s.level[a*(s.n+2)+b]
}

// swap exchanges the two segments between the cuts by three reversals and queues the
// nodes at the cuts.
func (s *search) swap(cuts []int) {
	t, m := s.tour, len(s.tour.at)
	at := func(place int) int { return t.at[place%m] }
	a, b1, b2 := at(cuts[0]), at(cuts[0]+1), at(cuts[1])
	c1, c2, d := at(cuts[1]+1), at(cuts[2]), at(cuts[2]+1)
	b, c := (cuts[1]-cuts[0]+m)%m, (cuts[2]-cuts[1]+m)%m
	t.reverseSegment(b1, c2, b+c)
	t.reverseSegment(b1, b2, b)
	t.reverseSegment(c1, c2, c)
	s.best = s.best.plus(s.of(a, c1)).plus(s.of(c2, b1)).plus(s.of(b2, d))
	s.best = s.best.minus(s.of(a, b1)).minus(s.of(b2, c1)).minus(s.of(c2, d))
	for _, v := range [6]int{a, b1, b2, c1, c2, d} {
		s.wake(v)
	}
}
