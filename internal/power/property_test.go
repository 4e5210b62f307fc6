package power

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anyNetwork draws a small network of any shape: rails cut, feeds of one wire
// only, closed runs.
func anyNetwork(t *rapid.T) *Network {
	ohms := func(name string) float64 {
		if rapid.IntRange(0, 40).Draw(t, name+" cut") == 17 {
			return Broken
		}
		return rapid.Float64Range(0.001, 2).Draw(t, name)
	}
	rails := func(name string) Rails { return Rails{ohms(name + " plus"), ohms(name + " minus")} }
	return anyShape(t, rapid.SampledFrom([]float64{5, 12}).Draw(t, "volts"), 14, 4, rails)
}

// anyShape draws links, taps and closed runs of at most so many pixels and taps,
// each with rails of its own.
func anyShape(t *rapid.T, volts float64, mostPixels, mostTaps int, rails func(name string) Rails) *Network {
	n := &Network{Volts: volts}
	pixels := rapid.IntRange(1, mostPixels).Draw(t, "pixels")
	for range pixels - 1 {
		n.Links = append(n.Links, rails("link"))
	}
	for range rapid.IntRange(1, mostTaps).Draw(t, "taps") {
		n.Taps = append(n.Taps, Tap{rapid.IntRange(0, pixels-1).Draw(t, "at"), rails("tap")})
	}
	for at := 0; at < pixels-1; {
		last := rapid.IntRange(at, pixels-1).Draw(t, "end")
		if rapid.Bool().Draw(t, "closed") {
			n.Loops = append(n.Loops, Loop{at, last, rails("loop")})
		}
		at = last + 1
	}
	return n
}

// dense solves one rail by plain elimination with pivots on the full matrix;
// pixels that the rail does not reach come out as NaN.
func dense(n *Network, amps []float64, side func(Rails) float64) []float64 {
	c := n.Pixels()
	m := make([][]float64, c)
	for i := range m {
		m[i] = make([]float64, c+1)
		m[i][c] = amps[i]
	}
	edge := func(i, j int, ohms float64) {
		if g := 1 / ohms; i != j && !math.IsInf(ohms, 1) {
			m[i][i], m[j][j], m[i][j], m[j][i] = m[i][i]+g, m[j][j]+g, m[i][j]-g, m[j][i]-g
		}
	}
	for i, l := range n.Links {
		edge(i, i+1, side(l))
	}
	for _, l := range n.Loops {
		edge(l.First, l.Last, side(l.Rails))
	}
	for _, t := range n.Taps {
		if o := side(t.Rails); !math.IsInf(o, 1) {
			m[t.Pixel][t.Pixel] += 1 / o
		}
	}
	return eliminate(m)
}

func eliminate(m [][]float64) []float64 {
	c := len(m)
	for i := range c {
		best := i
		for r := i; r < c; r++ {
			if math.Abs(m[r][i]) > math.Abs(m[best][i]) {
				best = r
			}
		}
		m[i], m[best] = m[best], m[i]
		for r := i + 1; r < c; r++ {
			f := m[r][i] / m[i][i]
			for k := i; k <= c; k++ {
				m[r][k] -= f * m[i][k]
			}
		}
	}
	x := make([]float64, c)
	for i := c - 1; i >= 0; i-- {
		x[i] = m[i][c]
		for k := i + 1; k < c; k++ {
			x[i] -= m[i][k] * x[k]
		}
		x[i] /= m[i][i]
	}
	return x
}

func TestAnyShapeAgreesWithDenseElimination(t *testing.T) {
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		n := anyNetwork(t)
		l, err := NewLadder(n)
		require.NoError(t, err)
		amps := make([]float64, n.Pixels())
		for i := range amps {
			amps[i] = rapid.Float64Range(0, 0.06).Draw(t, "amps")
			if l.dead[i] {
				amps[i] = 0
			}
		}
		s := l.Constant(nil, amps)
		if l.nDead > 0 {
			return // rails that reach nothing have no solution in the full matrix
		}
		compared++
		plus := dense(n, amps, func(r Rails) float64 { return r.Plus })
		minus := dense(n, amps, func(r Rails) float64 { return r.Minus })
		for i := range amps {
			assert.InDelta(t, n.Volts-plus[i], s.Plus[i], 1e-9)
			assert.InDelta(t, minus[i], s.Minus[i], 1e-9)
		}
	})
	least := 20
	if testing.Short() {
		least = 4 // rapid tries a fifth of the shapes then
	}
	assert.Greater(t, compared, least)
}

// In every solution what flows into a pixel of a rail flows out again, and
// what the feeds give is what the pixels take (Kirchhoff's current law).
func TestCurrentsAddUp(t *testing.T) {
	c := chip(t, "WS2812B")
	law := LawOf(c)
	curve := law.Curve()
	rapid.Check(t, func(t *rapid.T) {
		n := anyNetwork(t)
		l, err := NewLadder(n)
		require.NoError(t, err)
		draws := make([]Draw, n.Pixels())
		big := rapid.SampledFrom([]float64{1, 10, 100}).Draw(t, "times")
		for i := range draws {
			draws[i] = Draw{0.001, 0.02 * big * rapid.Float64Range(0, 1).Draw(t, "red"), 0.04 * big * rapid.Float64Range(0, 1).Draw(t, "rest")}
		}
		s, err := l.Sagging(nil, draws, law)
		require.NoError(t, err)
		for i := range draws {
			if l.dead[i] {
				assert.Zero(t, s.Amps[i])
				continue
			}
			want, _ := curve.Amps(draws[i], s.Volts(i))
			assert.InDelta(t, want, s.Amps[i], 1e-9*(1+draws[i].Amps()), "law at pixel %d", i)
			if l.same { // with one rail cut a pixel can be turned round, and draws nothing
				assert.GreaterOrEqual(t, s.Volts(i), -1e-9)
			}
			assert.LessOrEqual(t, s.Volts(i), n.Volts+1e-9)
		}
		var plus, minus float64
		for _, a := range s.Taps {
			plus, minus = plus+a.Plus, minus+a.Minus
		}
		assert.InDelta(t, s.Total, plus, 1e-7*(1+s.Total))
		assert.InDelta(t, s.Total, minus, 1e-7*(1+s.Total))
		if l.nDead == 0 {
			exact := dense(n, s.Amps, func(r Rails) float64 { return r.Plus })
			for i := range draws {
				assert.InDelta(t, n.Volts-exact[i], s.Plus[i], 1e-7)
			}
		}
	})
}

// One more feed lowers no voltage: the rule the search for feeds stands on.
func TestAnotherFeedLowersNoVoltage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := anyNetwork(t)
		amps := make([]float64, n.Pixels())
		for i := range amps {
			amps[i] = rapid.Float64Range(0, 0.06).Draw(t, "amps")
		}
		before, err := NewLadder(n)
		require.NoError(t, err)
		more := n.clone()
		more.Taps = append(more.Taps, tap(rapid.IntRange(0, n.Pixels()-1).Draw(t, "more"), rapid.Float64Range(0.001, 1).Draw(t, "ohms")))
		after, err := NewLadder(more)
		require.NoError(t, err)
		a, b := before.Constant(nil, amps), after.Constant(nil, amps)
		for i := range amps {
			if !before.dead[i] && before.nDead == after.nDead {
				assert.GreaterOrEqual(t, b.Volts(i), a.Volts(i)-1e-9)
			}
		}
	})
}

// The rails as unlike halves, by both solvers.
func TestAlikeRailsBothWays(t *testing.T) {
	c := chip(t, "WS2812B")
	for _, k := range ladderCases() {
		l, err := NewLadder(k.net)
		require.NoError(t, err)
		if !l.same {
			continue
		}
		half, err := l.Sagging(nil, k.draws, LawOf(c))
		require.NoError(t, err)
		both, err := NewLadder(k.net)
		require.NoError(t, err)
		both.same = false
		both.fold()
		full, err := both.Sagging(nil, k.draws, LawOf(c))
		require.NoError(t, err)
		for i := range k.draws {
			assert.InDelta(t, half.Volts(i), full.Volts(i), 1e-9, k.name)
		}
	}
}

// 10,000 pixels, 40 feeds, against the same sums in 300 bits.
func TestFoldingKeepsItsDigits(t *testing.T) {
	n := long(10_000, false)
	l, err := NewLadder(n)
	require.NoError(t, err)
	amps := make([]float64, n.Pixels())
	for i := range amps {
		amps[i] = 0.001 + 0.06*float64(i*7919%256)/255
	}
	s := l.Constant(nil, amps)
	worst := 0.0
	for i, want := range inBits(l, amps) {
		worst = math.Max(worst, math.Abs(s.Minus[i]-want))
	}
	t.Logf("worst error %.1e V", worst)
	assert.Less(t, worst, 1e-11)
}

// inBits is the rise of the minus rail by plain elimination in 300 bits.
func inBits(l *Ladder, amps []float64) []float64 {
	f := func(x float64) *big.Float { return new(big.Float).SetPrec(300).SetFloat64(x) }
	num := func() *big.Float { return f(0) }
	n := len(amps)
	diag, rhs := make([]*big.Float, n), make([]*big.Float, n)
	tap, link := l.plus.tap, l.plus.link
	for i := range n {
		diag[i] = num().Add(f(tap[i]), f(link[i]))
		if i < n-1 {
			diag[i].Add(diag[i], f(link[i+1]))
		}
		rhs[i] = f(amps[i])
		if i > 0 {
			k := num().Quo(f(link[i]), diag[i-1])
			diag[i].Sub(diag[i], num().Mul(k, f(link[i])))
			rhs[i].Add(rhs[i], num().Mul(k, rhs[i-1]))
		}
	}
	out := make([]float64, n)
	next := num()
	for i := n - 1; i >= 0; i-- {
		v := num().Set(rhs[i])
		if i < n-1 {
			v.Add(v, num().Mul(f(link[i+1]), next))
		}
		next = v.Quo(v, diag[i])
		out[i], _ = next.Float64()
	}
	return out
}
