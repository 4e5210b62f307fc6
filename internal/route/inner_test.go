package route

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// The running cost of the search is the cost of its tour and never rises, and no piece
// is broken up.
func TestSearchKeepsAccount(t *testing.T) {
	for seed := range 30 {
		p := plateOf(rand.New(rand.NewPCG(uint64(seed), 11)), 5+seed*2)
		g := newGrid(p)
		s := newSearch(g)
		first := g.total(g.nearestFirst())
		last := s.best
		require.False(t, first.less(last), "settled")
		for range 20 {
			s.shake(25)
			require.False(t, last.less(s.best), "never worse")
			last = s.best
			order := s.tour.order()
			sum := g.total(order)
			require.Equal(t, sum.hard, s.best.hard)
			require.InDelta(t, sum.soft, s.best.soft, 1e-6)
			require.True(t, piecesWhole(p, order))
			for i, v := range s.tour.at {
				require.Equal(t, i, s.tour.pos[v])
			}
		}
	}
}

// Undone reversals restore the order of holes.
func TestUndo(t *testing.T) {
	dice := rand.New(rand.NewPCG(3, 3))
	p := plateOf(dice, 40)
	g := newGrid(p)
	tr := newTour(g, dice.Perm(40))
	before := tr.order()
	for range 100 {
		mark := len(tr.log)
		for range 1 + dice.IntN(5) {
			i, j := dice.IntN(42), dice.IntN(42)
			tr.reverse(i, j)
		}
		tr.undo(mark)
		require.Len(t, tr.log, mark)
		require.Equal(t, before, tr.order())
	}
}

// wholeOrder is a random order that keeps the holes of every piece consecutive.
func wholeOrder(dice *rand.Rand, m *member) []int {
	if m.inside == nil {
		return slices.Clone(m.holes)
	}
	var out []int
	for _, k := range dice.Perm(len(m.inside)) {
		out = append(out, wholeOrder(dice, m.inside[k])...)
	}
	return out
}

// At any prices the tree weighs no more than any route (Held and Karp 1970). Setting
// steps and undoing that changes nothing.
func TestTreeIsALowerBound(t *testing.T) {
	for seed := range 60 {
		dice := rand.New(rand.NewPCG(uint64(seed), 12))
		p := plateOf(dice, 3+dice.IntN(25))
		g := newGrid(p)
		work := math.MaxInt
		r := g.stepRelaxation(&work, func(at int) float64 { return g.soft[at] })
		for range 20 {
			for i := range r.price {
				r.price[i] = 4 * (dice.Float64() - 0.5)
			}
			bound := r.tree()
			order := wholeOrder(dice, g.members())
			require.True(t, piecesWhole(p, order))
			if _, _, length, most := figures(p, order); most <= p.Tucked {
				require.LessOrEqual(t, bound, length+1e-9)
			}
			if r.isRoute() {
				_, _, length, _ := figures(p, r.order())
				require.InDelta(t, bound, length, 1e-9)
			}
			settleAndBack(t, dice, r)
		}
		require.Less(t, work, math.MaxInt)
	}
}

func settleAndBack(t *testing.T, dice *rand.Rand, r *relaxation) {
	t.Helper()
	p := proof{relaxation: r}
	fixed, pick := slices.Clone(r.fixed), slices.Clone(r.pick)
	a := dice.IntN(r.n)
	b, c := (a+1)%r.n, (a+2)%r.n
	done := p.put(change{a, b, in}, change{a, c, in})
	require.Equal(t, 2, p.stepsIn(a))
	require.Equal(t, r.n+2-1-2, p.count(a, out), "all other steps of a hole with two are out")
	require.True(t, p.possible())
	ring := p.put(change{b, c, in})
	require.False(t, p.possible(), "three steps round three holes close a ring")
	p.undo(ring)
	p.undo(done)
	require.Equal(t, fixed, r.fixed)
	require.Equal(t, pick, r.pick)
}
