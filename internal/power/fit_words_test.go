package power

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
)

// What a fit says, at the edges of its words.
func TestWordsOfAFit(t *testing.T) {
	found := func(change func(r *FitResult)) *FitResult {
		r := &FitResult{Suspects: []Suspect{{Run: 1, Name: "J1", Ohms: 0.4, PlusMinus: 0.1, Weight: 0.97, Cost: 0.2}}, Nothing: 0.01, Allowed: 0.5, Level: 0.44, Noise: meterVolts, ownNoise: meterVolts}
		change(r)
		r.setVerdict()
		return r
	}
	assert.Equal(t, FitFound, found(func(*FitResult) {}).Verdict)
	assert.Contains(t, found(func(*FitResult) {}).Text, "About 0.40 Ω too much in J1 (0.30 to 0.50 Ω), in plus or minus. Power off and make both conductors there again, then measure again. A meter between the rails cannot tell which of the two it is; it costs 0.20 V, 40 % of the 0.50 V that may be lost on the way to a pixel, at level 44 %.")
	assert.Contains(t, found(func(r *FitResult) { r.Suspects[0].PlusMinus = 0.5 }).Text, "(0.00 to 0.90 Ω)")
	for w, want := range map[float64]FitVerdict{0.949: FitCantTell, 0.95: FitFound} {
		assert.Equal(t, want, found(func(r *FitResult) { r.Suspects[0].Weight = w }).Verdict, "weight %g", w)
	}
	for n, want := range map[float64]FitVerdict{0.1: FitFound, 0.101: FitGood} {
		assert.Equal(t, want, found(func(r *FitResult) { r.Nothing = n }).Verdict, "nothing %g", n)
	}
	for ohms, want := range map[float64]string{10: "About 10", 10.1: "as good as open"} {
		text := found(func(r *FitResult) { r.Suspects[0].Ohms = ohms }).Text
		assert.Contains(t, text, want)
		off, mend := strings.Index(text, "Power off"), strings.Index(strings.ToLower(text), "make both conductors")
		assert.True(t, off >= 0 && off < mend, "the power is off before it is mended: %s", text)
	}
	for cost, want := range map[float64]FitVerdict{0.05: FitGood, 0.0501: FitFound} { // a tenth of 0.5 V
		assert.Equal(t, want, found(func(r *FitResult) { r.Suspects[0].Cost = cost }).Verdict, "cost %g", cost)
	}
	assert.Contains(t, found(func(r *FitResult) { r.Suspects[0].Cost = 0.05 }).Text, "About 0.40 Ω more than planned in J1: that costs 50 mV, 10 % of the 0.50 V that may be lost on the way to a pixel, at level 44 %. Found and fine; worth mending is what costs more than 10 %.")
	assert.False(t, (&FitResult{}).fine(), "nothing was found to be fine")
	assert.True(t, (&FitResult{Allowed: 1, Suspects: []Suspect{{Weight: 0.009, Cost: 9}}}).fine(), "too unlikely to be named")
	assert.False(t, (&FitResult{Allowed: 1, Suspects: []Suspect{{Weight: 0.01, Cost: 9}}}).fine())
	assert.False(t, (&FitResult{Allowed: 1, Suspects: []Suspect{{Weight: 0.5, Ohms: 11}}}).fine())
	for _, row := range []struct {
		left, own float64
		want      bool
	}{{0.040, 0.010, false}, {0.041, 0.010, true}, {0.060, 0.020, false}, {0.063, 0.020, true}} {
		assert.Equal(t, row.want, (&FitResult{Left: row.left, ownNoise: row.own}).poor(), "%+v", row)
	}
	assert.Equal(t, FitPoor, found(func(r *FitResult) { r.Left = 0.05 }).Verdict)
	assert.Contains(t, found(func(r *FitResult) { r.Left = 0.05 }).Text, "(50 mV off)")
	for noise, want := range map[float64]bool{0.0199: false, 0.02: true} {
		assert.Equal(t, want, strings.Contains((&FitResult{Noise: noise}).noiseText(), "scatter by some 20 mV"), "%g", noise)
	}
	for v, want := range map[float64]string{0.099: "99 mV", 0.1: "0.10 V", 0.0005: "0 mV"} {
		assert.Equal(t, want, smallVolts(v))
	}
	two := found(func(r *FitResult) {
		r.Suspects = []Suspect{{Name: "J1", Weight: 0.6, Cost: 1}, {Name: "J2", Weight: 0.36, Cost: 1}, {Name: "F1", Weight: 0.02, Cost: 1}}
		r.Nothing = 0.02
	})
	assert.Equal(t, FitCantTell, two.Verdict)
	assert.Contains(t, two.Text, "it may be J1, or J2. Measure")
	assert.Len(t, two.Named(), 3)
	two.Suspects[2].Weight = 0.0099
	assert.Len(t, two.Named(), 2)
	for v, want := range map[FitVerdict]int{FitTooFew: 0, FitGood: 0, FitFound: 2, FitCantTell: 2, FitPoor: 0, FitNone: 2} {
		two.Verdict = v
		assert.Len(t, two.Named(), want, "verdict %d", v)
	}
	assert.Equal(t, "as good as open", Suspect{Ohms: 11}.Much())
	assert.Equal(t, "0.40 Ω too much, give or take 0.10 Ω", Suspect{Ohms: 0.4, PlusMinus: 0.1}.Much())
}

// The noise of a meter is weighed by the readings: the scatter of made-up misses
// about a line, by the textbook's least squares.
func TestScatterAboutALine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := &fitter{noise: 0.020}
		var best caseFit
		want, free := 0.0, 0
		for place := range rapid.IntRange(1, 3).Draw(t, "places") {
			n := rapid.IntRange(1, 6).Draw(t, "levels")
			var xs, ys []float64
			for k := range n {
				level, miss := float64(k)/10, float64(rapid.IntRange(-5, 5).Draw(t, "miss"))
				f.readings = append(f.readings, Reading{Pixel: place, Level: level})
				best.residuals = append(best.residuals, miss)
				xs, ys = append(xs, level), append(ys, miss*2) // in units of 10 mV
			}
			if n < 3 {
				continue
			}
			mx, my := mean(xs), mean(ys)
			var sxy, sxx float64
			for i := range xs {
				sxy, sxx = sxy+(xs[i]-mx)*(ys[i]-my), sxx+(xs[i]-mx)*(xs[i]-mx)
			}
			for i := range xs {
				d := ys[i] - my - sxy/sxx*(xs[i]-mx)
				want += d * d
			}
			free += n - 2
		}
		sum, got := f.scatter(best)
		if math.Abs(sum-want) > 1e-6 || got != free {
			t.Fatalf("%g with %d degrees of freedom, want %g with %d", sum, got, want, free)
		}
		best.noise = 0.020
		own := meterVolts
		if free > 0 {
			own = meterVolts * max(1, math.Sqrt(want/float64(free)))
		}
		if math.Abs(f.ownNoise(best)-own) > 1e-9 {
			t.Fatalf("own noise %g, want %g", f.ownNoise(best), own)
		}
	})
	assert.InDelta(t, 1, sumOf(noisePrior), 1e-9, "what is thought of all noises together")
	require.Len(t, noisePrior, len(noiseSteps))
	assert.Equal(t, []float64{1, 1.5, 2, 3, 4, 6, 8, 12}, noiseSteps, "10 to 120 mV, each a half or a third more than the one before")
	// By Bayes' rule with a normal density, said another way.
	f := &fitter{noise: meterVolts}
	var best caseFit
	for k, miss := range []float64{3, -6, 3, 2, -4, 2} {
		f.readings, best.residuals = append(f.readings, Reading{Pixel: k / 3, Level: float64(k%3) / 10}), append(best.residuals, miss)
	}
	// What is left about lines: 3, -6, 3 and 2, -4, 2, whose squares are 54 and 24.
	total, all := 0.0, map[float64]float64{}
	for i, step := range noiseSteps {
		w := noisePrior[i] * math.Exp(-78/(2*step*step)) / (step * step)
		all[step*meterVolts], total = w, total+w
	}
	kept := 0.0
	for _, n := range f.noises(best) {
		assert.InDelta(t, all[n.volts]/total, n.share, 1e-9, "%g V", n.volts)
		assert.Greater(t, n.share, 0.02)
		kept += n.share
	}
	for _, w := range all {
		if w/total <= 0.02 {
			kept += w / total
		}

	}
	assert.InDelta(t, 1, kept, 1e-9, "none that counts is left out")
}

func mean(xs []float64) float64 { return sumOf(xs) / float64(len(xs)) }

func sumOf(xs []float64) (sum float64) {
	for _, x := range xs {
		sum += x
	}
	return sum
}

// One reading above all others is the highest, and the first of two alike.
func TestHighestReading(t *testing.T) {
	assert.Equal(t, 1, highest([]Reading{{Volts: 4}, {Volts: 5}, {Volts: 5}, {Volts: 3}}))
	assert.Equal(t, 0, highest([]Reading{{Volts: 4}}))
}

// A joint of too much resistance is found where it is, from readings made with
// the solver itself, which ngspice bears out: before each run in turn, and none
// where nothing is wrong.
func TestFitFindsEachJoint(t *testing.T) {
	p := prop.Porthole()
	p.Feeds = p.Feeds[:1]
	for bad := range 3 {
		n, err := NetworkOf(p)
		require.NoError(t, err)
		if bad > 0 {
			n.Links[p.FirstPixel(bad)-1].Plus += 0.5
		}
		l, err := NewLadder(n)
		require.NoError(t, err)
		var readings []Reading
		for _, level := range []float64{0, 0.1, 0.2, 0.3} {
			on, _ := p.Lights()
			sol, err := l.Sagging(nil, draws(on, sent(p, level)), LawOf(p.Chip))
			require.NoError(t, err)
			for _, at := range []int{0, 35, 36, 83, 84, 143} {
				readings = append(readings, Reading{Level: level, Pixel: at, Volts: math.Round(sol.Volts(at)*100) / 100})
			}
		}
		r, err := Fit(p, readings)
		require.NoError(t, err)
		if bad == 0 {
			assert.Equal(t, FitGood, r.Verdict, r.Text)
			continue
		}
		require.Equal(t, FitFound, r.Verdict, r.Text)
		assert.Equal(t, bad, r.Suspects[0].Run)
		assert.InDelta(t, 0.5, r.Suspects[0].Ohms, max(0.05, r.Suspects[0].PlusMinus))
		assert.InDelta(t, 5, r.Supply, 0.05)
		assert.InDelta(t, 1, r.Share, 0.1)
	}
}
