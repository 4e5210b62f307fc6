package route

import (
	"math/rand/v2"
	"slices"
)

// A search improves a tour by exchanges of steps, shakes it at a few places,
// improves it again and keeps what is no worse.
type search struct {
	*grid
	near  [][]int
	tour  *tour
	best  cost
	dice  *rand.Rand
	queue []int
	waits []bool
	outer int // level of a step outside all pieces
}

func newSearch(g *grid) *search {
	s := &search{grid: g, dice: rand.New(rand.NewPCG(7, uint64(g.n))), waits: make([]bool, g.n+2)}
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

// neighbours lists for each node the holes it may best be joined to, the best
// first: the nearest of its own innermost piece and of each level further out.
func (g *grid) neighbours() [][]int {
	const each = 8
	out := make([][]int, g.n+2)
	for i := range g.n + 1 { // the end of the string goes anywhere at no cost
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

// nearestFirst goes from each hole to the cheapest one left. Steps inside a
// piece are cheaper than any that leave it, so no piece is left half done.
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
	if !s.waits[v] {
		s.waits[v] = true
		s.queue = append(s.queue, v)
	}
}

// settle improves the tour round every node that waits, until none helps.
func (s *search) settle() {
	for len(s.queue) > 0 {
		v := s.queue[len(s.queue)-1]
		s.queue = s.queue[:len(s.queue)-1]
		s.waits[v] = false
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

// wakeEnds wakes the nodes at the ends of a reversed stretch and beside them.
func (s *search) wakeEnds(r [2]int) {
	m := len(s.tour.at)
	for _, i := range [4]int{r[0], r[1], (r[0] - 1 + m) % m, (r[1] + 1) % m} {
		s.wake(s.tour.at[i])
	}
}

// searchWork is how many exchanges of nodes the search of one plate may take:
// about half a second (measured).
const searchWork = 100_000_000

// shake swaps neighbouring stretches and improves the tour again, for so many
// rounds. What made the tour worse is taken back.
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

// kick swaps two stretches that follow each other. Its three cuts lie on one
// level of the pieces and in one piece, so that none is torn apart.
func (s *search) kick() bool {
	const reach = 30
	m := len(s.tour.at)
	first := s.dice.IntN(m)
	want := s.cut(first)
	cuts := []int{first}
	for i := 1; i < min(reach, m-1) && len(cuts) < 3; i++ {
		place := (first + i) % m
		switch l := s.cut(place); {
		case l > want:
			return false
		case l == want && s.dice.IntN(3) == 0:
			cuts = append(cuts, place)
		}
	}
	if len(cuts) < 3 || want > s.outer {
		return false
	}
	s.swap(cuts)
	return true
}

// cut is the level of the step after a place of the tour. The step that must
// stay has the highest.
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

// swap exchanges the two stretches between the cuts by three reversals and
// wakes the nodes at the cuts.
func (s *search) swap(cuts []int) {
	t, m := s.tour, len(s.tour.at)
	at := func(place int) int { return t.at[place%m] }
	a, b1, b2 := at(cuts[0]), at(cuts[0]+1), at(cuts[1])
	c1, c2, d := at(cuts[1]+1), at(cuts[2]), at(cuts[2]+1)
	b, c := (cuts[1]-cuts[0]+m)%m, (cuts[2]-cuts[1]+m)%m
	t.turn(b1, c2, b+c)
	t.turn(b1, b2, b)
	t.turn(c1, c2, c)
	s.best = s.best.plus(s.of(a, c1)).plus(s.of(c2, b1)).plus(s.of(b2, d))
	s.best = s.best.minus(s.of(a, b1)).minus(s.of(b2, c1)).minus(s.of(c2, d))
	for _, v := range [6]int{a, b1, b2, c1, c2, d} {
		s.wake(v)
	}
}
