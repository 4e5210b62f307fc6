package checkout

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/strip"
)

// How many pairs are tried at one step: what a pair costs grows with the pixels,
// from 60 on; from 301 on less may be spent.
func TestBudgetOfAStep(t *testing.T) {
	for pixels, want := range map[int]int{1: 53_333, 59: 53_333, 60: 53_333, 61: 52_459, 299: 10_702, 300: 10_666, 301: 3_986, 1000: 1_200, 10_000: 120} {
		assert.Equal(t, want, (&field{pixels: pixels}).budget(), "%d pixels", pixels)
	}
}

// A search tries as many pairs as its budget has, one with a fall of voltage
// counting for many, none twice with as many misses allowed, and notes that all
// were tried only where the budget lasted.
func TestPairsWithinTheBudget(t *testing.T) {
	s := begun(t, ringProp("small", 4, 3), 2, strip.Fault{Kind: strip.DeadPixel, Pixel: 2})
	s.decide()
	f := s.field
	first := func(k strip.Kind) int {
		return slices.IndexFunc(f.hyps, func(h hypothesis) bool { return len(h.faults) == 1 && h.faults[0].Kind == k })
	}
	plain, sag := first(strip.SlotShift), first(strip.Sag)
	places := 0 // faults with a place, one for each light
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.family >= 0 && f.families[h.family].placed && !f.families[h.family].moreAfter && h.sameLight == int32(i) {
			places++
		}
	}
	require.Greater(t, places, 20)
	search := func(budget int) *pairSearch {
		s.forgetPairs()
		d := newPairSearch(s)
		d.budget, d.most = budget, 0
		return d
	}
	for budget, tried := range map[int]int{-1: 0, 0: 0, 1: 1, 7: 7, places: places, places + 1: places, 5000: places} {
		d := search(budget)
		d.everywhere(plain)
		assert.Len(t, s.tried, tried, "budget %d", budget)
		assert.Equal(t, budget-tried, d.budget)
		assert.Equal(t, budget > places, s.covered.by[plain] == 1, "budget %d of %d pairs", budget, places)
	}
	d := search(5000)
	d.everywhere(plain)
	left := d.budget
	d.everywhere(plain)
	assert.Equal(t, left, d.budget, "all were tried")
	d.most = 1
	d.everywhere(plain)
	assert.Equal(t, left-places, d.budget, "one more miss is allowed")
	assert.Equal(t, 2, s.covered.by[plain])
	d.most = 0
	for key := range s.tried {
		d.try(int(key>>32), int(key&(1<<32-1)))
	}
	assert.Equal(t, left-places, d.budget, "none is tried again")
	for _, pair := range [][2]int{{plain, sag}, {sag, plain}} {
		d = search(100)
		d.try(pair[0], pair[1])
		assert.Equal(t, 49, d.budget, "a fall of voltage costs fifty more")
	}
	// What keeps all data away, with what lights all the same.
	glow := 0
	for _, k := range f.litWithoutData {
		for i := f.families[k].from; i < f.families[k].to; i++ {
			if f.hyps[i].sameLight == int32(i) {
				glow++
			}
		}
	}
	require.Positive(t, glow)
	for budget, tried := range map[int]int{0: 0, 3: 3, glow: glow, glow + 1: glow} {
		d := search(budget)
		d.besideNoData()
		assert.Len(t, s.tried, tried, "budget %d", budget)
		assert.Equal(t, budget > glow, s.covered.by[f.noData] == 1)
		if budget > glow {
			d.besideNoData()
			assert.Len(t, s.tried, tried)
		}
	}
	// Faults of the whole prop with one another: each pair once.
	n := len(f.globals)
	for budget, all := range map[int]bool{1 << 20: true, 30: false} {
		d := search(budget)
		d.withWholeProp(false, nil)
		assert.Equal(t, all, s.covered.globals == 1)
		if all {
			assert.Len(t, s.tried, n*(n-1)/2)
			spent := d.budget
			d.withWholeProp(false, nil)
			assert.Equal(t, spent, d.budget)
		}
		for key := range s.tried {
			assert.Less(t, int(key&(1<<32-1)), int(key>>32), "the second comes first in the list")
		}
	}
	// And with faults at every place, those that contradict fewest answers first.
	order := search(1 << 20).fewestFirst()
	require.NotEmpty(t, order)
	misses := func(g int) int { d := search(1); st := f.stripOf(&f.hyps[g]); return d.contradicted(st, len(d.steps)) }
	for i := 1; i < len(order); i++ {
		assert.LessOrEqual(t, misses(order[i-1]), misses(order[i]))
	}
	for _, g := range order {
		assert.False(t, f.hyps[g].sag)
		assert.Contains(t, f.globals, g)
	}
	d = search(1 << 20)
	d.tryAllPlaces(nil)
	assert.Equal(t, 1, s.covered.everywhere)
	assert.Empty(t, d.fewestFirst(), "all were")
	d = search(10)
	d.tryAllPlaces(nil)
	assert.Zero(t, s.covered.everywhere)
	assert.Equal(t, 1, lookCost(&step{spec: Spec{Kind: AskEven}}))
	assert.Zero(t, lookCost(&step{spec: Spec{Kind: AskPlace}}))
}

// What a strip contradicts is counted up to one more than is allowed.
func TestMissesAreCounted(t *testing.T) {
	p := ringProp("small", 4, 3)
	s := begun(t, p, 5, strip.Fault{Kind: strip.SlotShift, N: 1})
	d := newPairSearch(s)
	for _, ft := range []strip.Fault{{Kind: strip.SlotShift, N: 1}, {Kind: strip.DeadPixel}, {Kind: strip.NoSupply}, {Kind: strip.Mirrored}} {
		st, err := strip.New(p, ft)
		require.NoError(t, err)
		all := 0
		for k := range s.steps {
			var w watcher
			w.watch(s.field, &s.steps[k].spec)
			if due := answerIndex(s.steps[k].answers, w.sees(st)); due >= 0 && due != s.steps[k].given {
				all++
			}
		}
		for most := range 6 {
			assert.Equal(t, min(all, most+1), d.contradicted(st, most), "%v, %d allowed", ft, most)
			d.most = most
			assert.Equal(t, all <= most, d.fits(st))
		}
	}
}
