package power

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A fitCase is a fitter with a reading at every pixel and level, as far as it
// is wanted, and figures to try.
type fitCase struct {
	*fitter
	p       *prop.Prop
	x       []float64
	suspect *Suspect
}

// anyFitCase draws a prop of three runs, one or two feeds, and figures about
// as far off the plan as they are in practice.
func anyFitCase(t *rapid.T) fitCase {
	p := prop.Porthole()
	for i := range p.Runs {
		p.Runs[i].Pixels = rapid.IntRange(2, 5).Draw(t, "pixels")
	}
	p.Parts = nil
	p.Feeds = p.Feeds[:rapid.IntRange(1, 2).Draw(t, "feeds")]
	if len(p.Feeds) > 1 {
		p.Feeds[1].Pixel = p.Pixels() - 1
	}
	var readings []Reading
	for _, level := range []float64{0, 0.4, 1} {
		for i := range p.Pixels() {
			readings = append(readings, Reading{Level: level, Pixel: i, Volts: 4.9})
		}
	}
	f, err := newFitter(p, readings)
	require.NoError(t, err)
	f.noise = meterVolts
	c := fitCase{fitter: f, p: p}
	around := func(plan, wide float64) {
		c.x = append(c.x, plan+wide*rapid.Float64Range(-2, 2).Draw(t, "off"))
	}
	around(5, 0.1)
	around(1, 0.15)
	around(1, 0.2)
	for range p.Feeds {
		around(0.03, 0.015)
	}
	c.x = append(c.x, rapid.Float64Range(0.05, 3).Draw(t, "ohms"))
	suspects := suspectsOf(p, f.base)
	if at := rapid.IntRange(-1, len(suspects)-1).Draw(t, "suspect"); at >= 0 {
		c.suspect = &suspects[at]
	}
	return c
}

// free is how many figures are fitted.
func (c fitCase) free() int {
	if c.suspect == nil {
		return c.figures()
	}
	return c.figures() + 1
}

// The voltages of a fit obey Kirchhoff's and Ohm's laws: with one feed, at the
// first pixel, every conductor carries what the pixels past it draw, and drops
// that times its ohms. What pixels draw follows the law of the chip.
func TestPredictedVoltagesObeyKirchhoff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyFitCase(t)
		if len(c.p.Feeds) > 1 {
			c.p.Feeds = c.p.Feeds[:1]
			f, err := newFitter(c.p, c.readings)
			require.NoError(t, err)
			f.noise = meterVolts
			c.fitter, c.suspect, c.x = f, nil, append(c.x[:4:4], c.x[5])
		}
		got, err := c.predict(c.x, c.suspect)
		require.NoError(t, err)
		n := c.p.Pixels()
		for k, level := range []float64{0, 0.4, 1} {
			volts, total := got[k*n:(k+1)*n], got[len(c.readings)+k*n]
			value := patterns.Colour{R: 255, G: 255, B: 255}.Dim(level)
			d := DrawOf(c.p.Chip, value, 1)
			curve, beyond := c.law.Curve(), make([]float64, n+1)
			for i := n - 1; i >= 0; i-- {
				amps, _ := curve.Amps(Draw{d.Idle * c.x[drawShare], d.Red * c.x[drawShare], d.Rest * c.x[drawShare]}, volts[i])
				beyond[i] = beyond[i+1] + amps
			}
			require.InDelta(t, beyond[0], total, 1e-5, "all that is drawn")
			feed := c.base.Taps[0].Plus + c.base.Taps[0].Minus + c.x[firstFeed]
			if s := c.suspect; s != nil && s.Run == 0 {
				feed += c.x[c.figures()]
			}
			require.InDelta(t, c.x[supplyVolts]-feed*beyond[0], volts[0], 1e-4)
			for i := 1; i < n; i++ {
				link := (c.base.Links[i-1].Plus + c.base.Links[i-1].Minus) * c.x[railShare]
				if s := c.suspect; s != nil && s.Run > 0 && c.p.FirstPixel(s.Run) == i {
					link += c.x[c.figures()]
				}
				require.InDelta(t, volts[i-1]-link*beyond[i], volts[i], 1e-4, "before pixel %d", i+1)
			}
		}
	})
}

// read takes the readings that the figures themselves would give.
func (c fitCase) read(t require.TestingT, x []float64) {
	at, err := c.predict(x, c.suspect)
	require.NoError(t, err)
	for i := range c.readings {
		c.readings[i].Volts = at[i]
	}
}

// Figures that give the very readings cost what they lie off the plan, each in
// its own spread: 2 % of the supply's volts, 15 % of the current, 20 % of the
// rails, 30 milliohms at a feed; a suspect's ohms cost nothing.
func TestFiguresCostWhatTheyLieOff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyFitCase(t)
		c.read(t, c.x)
		at, err := c.evaluate(c.x, c.suspect)
		require.NoError(t, err)
		want := math.Pow((c.x[0]-5)/(0.02*5), 2) + math.Pow((c.x[1]-1)/0.15, 2) + math.Pow((c.x[2]-1)/0.20, 2)
		for i := range c.p.Feeds {
			want += math.Pow(c.x[3+i]/0.030, 2)
		}
		require.InDelta(t, want, at.cost, 1e-6)
		// A reading that is off by its noise costs one more, a current off by
		// 3 % too.
		c.readings[1].Volts += 0.010
		at, err = c.evaluate(c.x, c.suspect)
		require.NoError(t, err)
		require.InDelta(t, want+1, at.cost, 1e-6)
		predicted, err := c.predict(c.x, c.suspect)
		require.NoError(t, err)
		c.readings[2].Amps = predicted[len(c.readings)+2] / (1 - 0.03)
		at, err = c.evaluate(c.x, c.suspect)
		require.NoError(t, err)
		require.InDelta(t, want+2, at.cost, 1e-6)
		for i, m := range at.residuals {
			off := 0.0
			if i == 1 || i == len(c.readings)+2 {
				off = 1
			}
			require.InDelta(t, off, math.Abs(m), 1e-6, "miss %d: voltages, then currents", i)
		}
	})
}

// The normal equations are the slope of the cost and, but for the spreads of
// the plan, the squares of how the misses move, both seen by small steps.
func TestNormalEquationsAreTheSlopes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyFitCase(t)
		at, err := c.evaluate(c.x, c.suspect)
		require.NoError(t, err)
		free := c.free()
		a, g, err := c.normal(at, c.suspect, free)
		require.NoError(t, err)
		spread := []float64{0.1, 0.15, 0.2}
		for range c.p.Feeds {
			spread = append(spread, 0.03)
		}
		const h = 1e-4
		along := make([][]float64, free) // how the misses move with each figure
		for i := range free {
			var there [2]fitState
			for k, sign := range []float64{1, -1} {
				x := append([]float64(nil), c.x...)
				x[i] += sign * h
				there[k], err = c.evaluate(x, c.suspect)
				require.NoError(t, err)
			}
			slope := (there[0].cost - there[1].cost) / (2 * h)
			require.InDelta(t, -2*g[i], slope, 0.02*(1+math.Abs(slope)), "figure %d", i)
			for m := range there[0].residuals {
				along[i] = append(along[i], (there[0].residuals[m]-there[1].residuals[m])/(2*h))
			}
		}
		for i := range free {
			for j := range free {
				want := 0.0
				for m := range along[i] {
					want += along[i][m] * along[j][m]
				}
				if i == j && i < len(spread) {
					want += 1 / (spread[i] * spread[i])
				}
				size := math.Sqrt(a[i][i] * a[j][j])
				require.InDelta(t, want/size, a[i][j]/size, 0.02, "%d, %d", i, j)
			}
		}
	})
}

// Laplace's approximation, said another way: the cost, the determinant, the
// inverse; and for a suspect the part of its bell curve above no resistance,
// summed up in small steps, spread over the 5 ohms that are expected.
func TestEvidenceIsLaplaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyFitCase(t)
		at, err := c.evaluate(c.x, c.suspect)
		require.NoError(t, err)
		free := c.free()
		a := spd(t, free)
		got := c.summary(at, a, free)
		inverse := func(i int) float64 { // of the diagonal, by Cramer's rule
			var minor [][]float64
			for r := range free {
				if r != i {
					minor = append(minor, append(append([]float64(nil), a[r][:i]...), a[r][i+1:]...))
				}
			}
			return determinant(minor, free-1) / determinant(a, free)
		}
		for i := range free {
			require.InDelta(t, math.Sqrt(inverse(i)), got.sigma[i], 1e-6)
		}
		want := -at.cost/2 - math.Log(determinant(a, free))/2
		if free > c.figures() {
			sum, sd := 0.0, got.sigma[free-1]
			const step = 1e-3
			for z := -c.x[free-1]/sd + step/2; z < 9; z += step {
				sum += step * math.Exp(-z*z/2)
			}
			want += math.Log(sum / 5)
		}
		require.InDelta(t, want, got.evidence, 1e-4)
		sum := 0.0
		for i := range c.readings {
			require.InDelta(t, at.residuals[i], got.residuals[i], 0)
			sum += math.Pow(at.residuals[i]*meterVolts, 2) / float64(len(c.readings))
		}
		require.Len(t, got.residuals, len(c.readings), "of the voltages alone")
		require.InDelta(t, math.Sqrt(sum), got.left, 1e-9)
		require.Equal(t, meterVolts, got.noise)
	})
}

// A fit ends where no figure can be moved for the better, whatever was read;
// resistance below none is not taken, and is what a case with nothing wrong is.
func TestAFitEndsAtTheBest(t *testing.T) {
	cases := rapid.Custom(anyFitCase)
	for seed := range 16 {
		c := cases.Example(seed)
		x := append([]float64(nil), c.x...)
		if c.suspect != nil && seed%2 == 0 {
			x[c.figures()] = -0.05 // as where a lead is shorter than planned
		}
		c.read(t, x)
		for i := range c.readings {
			c.readings[i].Volts = math.Round(c.readings[i].Volts*100) / 100
		}
		got, err := c.fit(c.suspect, nil)
		require.NoError(t, err)
		best, err := c.evaluate(got.at, c.suspect)
		require.NoError(t, err)
		for i := range c.free() {
			for _, step := range []float64{1, -1} {
				moved := append([]float64(nil), got.at...)
				moved[i] += step * 0.2 * got.sigma[i]
				if i == c.figures() && moved[i] < 0 {
					continue
				}
				there, err := c.evaluate(moved, c.suspect)
				require.NoError(t, err)
				require.Greater(t, there.cost, best.cost-1e-3, "seed %d: figure %d by %g", seed, i, step)
			}
		}
		if c.suspect == nil {
			require.Zero(t, got.at[c.figures()])
			continue
		}
		require.GreaterOrEqual(t, got.at[c.figures()], 0.0)
		none, err := c.fit(nil, nil)
		require.NoError(t, err)
		sound, err := c.evaluate(none.at, nil)
		require.NoError(t, err)
		require.LessOrEqual(t, best.cost, sound.cost+1e-2, "seed %d: one figure more never fits worse", seed)
	}
}

// A mixture has the mean and the spread of its parts: the law of total
// variance, on made-up fits.
func TestMixtureAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cases := rapid.IntRange(2, 4).Draw(t, "cases")
		shares := []float64{0.5, 0.3, 0.2}
		m := newMixture(cases)
		type part struct{ weight, ohms, sd float64 }
		parts := make([][]part, cases)
		top := 0.0
		for k, share := range shares {
			fits, sum := make([]caseFit, cases), 0.0
			best := math.Inf(-1)
			for i := range fits {
				e := rapid.Float64Range(-6, 6).Draw(t, "evidence")
				fits[i] = caseFit{at: []float64{9, rapid.Float64Range(0, 5).Draw(t, "ohms")}, sigma: []float64{9, rapid.Float64Range(0.01, 2).Draw(t, "sd")}, evidence: e, noise: float64(k + 1)}
				sum, best = sum+math.Exp(e), max(best, e)
			}
			if k == 0 {
				top = best
			}
			for i, f := range fits {
				parts[i] = append(parts[i], part{share * math.Exp(f.evidence) / sum, f.at[1], f.sigma[1]})
			}
			m.add(fits, share, 1)
		}
		require.Equal(t, 1.0, m.noise, "the likeliest noise")
		require.Equal(t, top, m.best.evidence, "the likeliest case under it")
		for i := range cases {
			var weight, mean, square float64
			for _, p := range parts[i] {
				weight += p.weight
				mean += p.weight * p.ohms
			}
			mean /= weight
			for _, p := range parts[i] {
				square += p.weight / weight * (p.sd*p.sd + (p.ohms-mean)*(p.ohms-mean))
			}
			require.InDelta(t, weight, m.weight[i], 1e-9)
			if i > 0 {
				ohms, plusMinus := m.ohms(i)
				require.InDelta(t, mean, ohms, 1e-6)
				require.InDelta(t, 3*math.Sqrt(square), plusMinus, 1e-5)
			}
		}
	})
}

// All suspects together have a fourth of what nothing wrong has beforehand.
func TestSuspectsShareWhatTheOddsLeave(t *testing.T) {
	p := prop.Porthole()
	p.Runs[0].Pixels, p.Runs[1].Pixels, p.Runs[2].Pixels = 4, 5, 6
	p.Parts, p.Feeds[1].Pixel = nil, 9
	readings := []Reading{{Level: 0.1, Pixel: 0, Volts: 4.9}, {Level: 0.1, Pixel: 5, Volts: 4.8}, {Level: 0.2, Pixel: 14, Volts: 4.8}}
	f, err := newFitter(p, readings)
	require.NoError(t, err)
	f.noise = meterVolts
	suspects := suspectsOf(p, f.base)
	require.Len(t, suspects, 4, "two joints, two feeds")
	fits, err := f.cases(suspects, nil)
	require.NoError(t, err)
	for i, got := range fits {
		var s *Suspect
		less := 0.0
		if i > 0 {
			s, less = &suspects[i-1], math.Log(4*4)
		}
		alone, err := f.fit(s, nil)
		require.NoError(t, err)
		assert.InDelta(t, alone.evidence-less, got.evidence, 1e-9, "case %d", i)
	}
	assert.Equal(t, []Suspect{{Run: 1, link: 3, Name: suspects[0].Name}, {Run: 2, link: 8, Name: suspects[1].Name}}, suspects[:2])
	assert.Equal(t, []int{0, 1}, []int{suspects[2].Feed, suspects[3].Feed})
	p.Runs[1].Apart = true
	assert.Len(t, suspectsOf(p, f.base), 3, "there is no joint before a run that is apart")
	p.Feeds = nil
	bare, err := NetworkOf(p)
	require.NoError(t, err)
	for _, s := range suspectsOf(p, bare)[1:] {
		assert.Equal(t, "the supply lead", s.Name)
	}
}
