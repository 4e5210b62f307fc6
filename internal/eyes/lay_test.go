package eyes

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// pennantPlan is a triangle and a tail, long and flat: 96 and 40 places.
func pennantPlan() *Scene {
	var outline Run
	corners := []Point{{0, 0}, {0.52, 0.14}, {0, 0.28}, {0, 0}}
	for i := range 96 {
		at := float64(i) / 96 * 3
		a, b, k := corners[int(at)], corners[int(at)+1], at-math.Floor(at)
		outline.Places = append(outline.Places, Point{a.X + k*(b.X-a.X), a.Y + k*(b.Y-a.Y)})
	}
	return &Scene{Slots: 3, Runs: []Run{outline, lineRun(40, 0.54, 0.14)}}
}

// A view made up of a pinhole camera's stands brings a plan to its picture. The
// spots lie a little beside it, some are missing and some are of nothing, no
// word is read, and two places are marked as a person would. A layout that
// would be accepted has every place on its own spot: no side of the plan has
// slipped by a pixel. The camera is the trials' own (pinhole), not the
// decoder's.
func TestNoSideOfAPlanSlips(t *testing.T) {
	t.Parallel()
	views := 4
	if os.Getenv("RINGOUT_LONG") != "" {
		views = 150
	}
	laid := 0
	for seed := range uint64(views) {
		r := rand.New(rand.NewPCG(seed, 15))
		s := pennantPlan()
		plan := s.Places()
		f := frameOf(plan)
		axis, angle, turn, far := between(r, 0, 3.1), between(r, 0.3, 0.7), between(r, -0.5, 0.5), between(r, 2, 5)
		var at, spots []Point
		for _, p := range plan {
			q := pinhole(f.in(p), axis, angle, turn, far)
			at = append(at, Point{360 + 330*q.X, 150 + 330*q.Y})
		}
		spacing := distance(at[100], at[101])
		slip := func(k float64) Point { return Point{r.NormFloat64() * k * spacing, r.NormFloat64() * k * spacing} }
		for _, p := range at {
			if r.IntN(40) > 0 {
				spots = append(spots, p.plus(slip(0.03)))
			}
		}
		for range 4 {
			spots = append(spots, at[r.IntN(len(at))].plus(slip(1)))
		}
		s.Marks = []Mark{{0, at[0].plus(slip(0.1))}, {118, at[118].plus(slip(0.1))}}
		l := newLayer(s, spots, spacing)
		l.chip = 3
		for range spots {
			l.weight, l.slot = append(l.weight, 1), append(l.slot, -1)
		}
		best := l.lay()[0]
		if best.agree < LeastAgree || best.off > mostOffPlan || best.marked > mostOffMark {
			t.Logf("view %d is refused: %.2f agree, %.2f off", seed, best.agree, best.off)
			continue
		}
		laid++
		for i := range at {
			require.Less(t, distance(best.at[i], at[i]), 0.5*spacing, "view %d, place %d of a layout %.3f off", seed, i+1, best.off)
		}
	}
	t.Logf("%d of %d views laid", laid, views)
	require.Greater(t, laid, views*9/10)
}

// Two layouts are as far apart as the place furthest from itself, of those that have
// a spot in either: what is dark in both may lie anywhere.
func TestHowFarLayoutsAreApart(t *testing.T) {
	of := func(x float64, spot int) layout {
		return layout{at: []Point{{}, {X: x}}, spot: []int{0, spot}, spacing: 2}
	}
	for _, row := range []struct {
		here, there int
		want        float64
	}{{-1, -1, 0}, {1, -1, 4.5}, {-1, 1, 4.5}, {1, 1, 4.5}} {
		require.Equal(t, row.want, of(0, row.here).far(of(9, row.there)))
	}
}
