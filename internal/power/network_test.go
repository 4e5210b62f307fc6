package power

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
)

// brokenNetwork draws a small network in which a conductor in three or so is
// cut.
func brokenNetwork(t *rapid.T) *Network {
	side := func(name string) float64 {
		if rapid.IntRange(0, 3).Draw(t, name) == 0 {
			return Broken
		}
		return rapid.Float64Range(0.01, 1).Draw(t, name+" ohms")
	}
	rails := func(name string) Rails { return Rails{side(name), side(name)} }
	return anyShape(t, 5, 9, 3, rails)
}

// reaches is a slow search: whether a rail leads from the supply to each pixel,
// by colouring neighbours until nothing changes.
func reaches(n *Network, side func(Rails) float64) []bool {
	on := make([]bool, n.Pixels())
	for range 2*n.Pixels() + 2 {
		for _, t := range n.Taps {
			on[t.Pixel] = on[t.Pixel] || !math.IsInf(side(t.Rails), 1)
		}
		join := func(a, b int, r Rails) {
			if !math.IsInf(side(r), 1) && (on[a] || on[b]) {
				on[a], on[b] = true, true
			}
		}
		for i, r := range n.Links {
			join(i, i+1, r)
		}
		for _, l := range n.Loops {
			join(l.First, l.Last, l.Rails)
		}
	}
	return on
}

// Pixels that a rail does not reach are dead and draw nothing; of the others
// every voltage is that of the same copper by plain elimination, and the least
// and the sum are of them all.
func TestDeadPixelsAreThoseNotReached(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := brokenNetwork(t)
		l, err := NewLadder(n)
		require.NoError(t, err)
		plus, minus := reaches(n, func(r Rails) float64 { return r.Plus }), reaches(n, func(r Rails) float64 { return r.Minus })
		amps, dead, first := make([]float64, n.Pixels()), 0, 0
		for i := n.Pixels() - 1; i >= 0; i-- {
			amps[i] = 0.01 * float64(i+1)
			require.Equal(t, !plus[i] || !minus[i], l.dead[i], "pixel %d", i)
			if l.dead[i] {
				dead, first = dead+1, i
			}
		}
		s := l.Constant(nil, amps)
		require.Equal(t, dead, s.Dead)
		require.Equal(t, first, s.DeadAt)
		drawn := slices.Clone(amps)
		for i := range drawn {
			if l.dead[i] {
				drawn[i] = 0
			}
		}
		// A resistance far above all others to the supply lets elimination
		// solve what is cut off, and moves nothing else.
		tied := n.clone()
		for i := range amps {
			tied.Taps = append(tied.Taps, Tap{i, Rails{1e9, 1e9}})
		}
		up, down := dense(tied, drawn, func(r Rails) float64 { return r.Plus }), dense(tied, drawn, func(r Rails) float64 { return r.Minus })
		total, lowest := 0.0, math.Inf(1)
		for i := range amps {
			want := 5 - up[i] - down[i]
			if l.dead[i] {
				want = 0
			}
			require.InDelta(t, want, s.Volts(i), 1e-6, "pixel %d", i)
			total, lowest = total+drawn[i], min(lowest, want)
		}
		require.InDelta(t, total, s.Total, 1e-9)
		require.InDelta(t, lowest, s.Lowest, 1e-6)
		require.InDelta(t, lowest, s.Volts(s.At), 1e-6)
		taps := 0.0
		for _, tap := range s.Taps {
			taps += tap.Plus
		}
		require.InDelta(t, total, taps, 1e-6)
	})
}

// The heat of a step is the sum over all copper of siemens times the square of
// the volts across it.
func TestHeatOfAStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := anyNetwork(t)
		if rapid.Bool().Draw(t, "alike") {
			for i := range n.Links {
				n.Links[i].Minus = n.Links[i].Plus
			}
			for i := range n.Taps {
				n.Taps[i].Minus = n.Taps[i].Plus
			}
			for i := range n.Loops {
				n.Loops[i].Minus = n.Loops[i].Plus
			}
		}
		l, err := NewLadder(n)
		require.NoError(t, err)
		w := l.work(n.Pixels())
		for i := range n.Pixels() {
			w.u[i], w.u1[i] = rapid.Float64Range(0, 3).Draw(t, "u"), rapid.Float64Range(0, 3).Draw(t, "u1")
			w.x[i], w.x1[i] = -w.u[i], -w.u1[i]
			if !l.same {
				w.x[i], w.x1[i] = rapid.Float64Range(-3, 0).Draw(t, "x"), rapid.Float64Range(-3, 0).Draw(t, "x1")
			}
		}
		want := 0.0
		add := func(r Rails, plus, minus float64) {
			want += conductance(r.Plus)*plus*plus + conductance(r.Minus)*minus*minus
		}
		du, dx := func(i int) float64 { return w.u1[i] - w.u[i] }, func(i int) float64 { return w.x1[i] - w.x[i] }
		for i, r := range n.Links {
			add(r, du(i+1)-du(i), dx(i+1)-dx(i))
		}
		for _, tap := range n.Taps {
			add(tap.Rails, du(tap.Pixel), dx(tap.Pixel))
		}
		for _, loop := range n.Loops {
			add(loop.Rails, du(loop.Last)-du(loop.First), dx(loop.Last)-dx(loop.First))
		}
		require.InEpsilon(t, 1+want, 1+l.stepHeat(w), 1e-9)
	})
}

// Newton's rounds are few, however much is asked of the copper.
func TestRoundsAreFew(t *testing.T) {
	law := LawOf(chip(t, "WS2812B"))
	most := 0
	rapid.Check(t, func(t *rapid.T) {
		n := anyNetwork(t)
		l, err := NewLadder(n)
		require.NoError(t, err)
		draws := make([]Draw, n.Pixels())
		times := rapid.SampledFrom([]float64{1, 10, 100, 1000}).Draw(t, "times")
		for i := range draws {
			draws[i] = Draw{0.001, 0.02 * times * rapid.Float64Range(0, 1).Draw(t, "red"), 0.04 * times * rapid.Float64Range(0, 1).Draw(t, "rest")}
		}
		s, err := l.Sagging(nil, draws, law)
		require.NoError(t, err)
		require.LessOrEqual(t, s.Rounds, 20)
		most = max(most, s.Rounds)
	})
	t.Logf("at most %d rounds", most)
}

// What passes a joint is the larger of what plus and minus carry, whichever way
// it flows: by Ohm's law.
func TestAmpsOfALink(t *testing.T) {
	for _, row := range []struct {
		plus, minus [2]float64 // volts before and after it
		want        float64
	}{{[2]float64{5, 4.8}, [2]float64{0.1, 0.2}, 0.4}, {[2]float64{4.8, 5}, [2]float64{0.2, 0.1}, 0.4}, {[2]float64{5, 4.9}, [2]float64{0, 0.3}, 1.2}, {[2]float64{5, 4.9}, [2]float64{0.3, 0}, 1.2}, {[2]float64{5, 5}, [2]float64{0, 0}, 0}} {
		n := &Network{Links: []Rails{{1, 1}, {0.5, 0.25}}}
		s := &Solution{Plus: []float64{9, row.plus[0], row.plus[1]}, Minus: []float64{9, row.minus[0], row.minus[1]}}
		assert.InDelta(t, row.want, linkAmps(n, s, 1), 1e-9, "%+v", row)
	}
}

// Of a run whose plus stands apart the ground is judged alone. A run that gets no supply
// has no joint to judge.
func TestJointsThatAreNone(t *testing.T) {
	runs := func(change func(p *prop.Prop)) (out []int) {
		p := prop.Porthole() // feeds at pixel 1 and at the last run's first
		change(p)
		for _, j := range planned(t, p, 0.2).Joints {
			out = append(out, j.Run)
		}
		return out
	}
	assert.Equal(t, []int{1, 2}, runs(func(*prop.Prop) {}))
	assert.Equal(t, []int{1, 2}, runs(func(p *prop.Prop) { p.Runs[2].Apart = true }))
	assert.Equal(t, []int{1, 2}, runs(func(p *prop.Prop) { p.Runs[1].Apart = true }), "the middle run is fed from the last")
	assert.Empty(t, runs(func(p *prop.Prop) { p.Runs[1].Apart, p.Runs[2].Apart = true, true }))
	assert.Empty(t, runs(func(p *prop.Prop) {
		p.Runs[1].Apart = true
		p.Feeds = p.Feeds[:1]
	}), "nothing passes between two runs that are dead")
}
