package power

import (
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// A benchTest is one load test on a prop whose parts lie off their plan as
// parts do, each feed's contacts on their own, read with a meter of some noise.
type benchTest struct {
	prop *prop.Prop
	bad  int // joint before this run; 0 for none
	ohms float64
}

// readings solves the prop's copper with its flaws (the ladder is held against
// ngspice elsewhere) at three levels, as the load test takes them, and adds
// noise, a share of each reading.
func (k benchTest) readings(t *testing.T, r *rand.Rand, noise float64) (out []Reading) {
	t.Helper()
	n, err := NetworkOf(k.prop)
	require.NoError(t, err)
	n.Volts *= 1 + 0.02*r.NormFloat64()
	share, rails := 1+0.15*r.NormFloat64(), 1+0.2*r.NormFloat64()
	for i := range n.Links {
		n.Links[i].Plus *= rails
		n.Links[i].Minus *= rails
	}
	if k.bad > 0 {
		n.Links[k.prop.FirstPixel(k.bad)-1].Plus += k.ohms
	}
	for i := range n.Taps {
		n.Taps[i].Plus += 0.03 * r.Float64()
		n.Taps[i].Minus += 0.03 * r.Float64()
	}
	l, err := NewLadder(n)
	require.NoError(t, err)
	for _, level := range []float64{0.08, 0.4, 0.8} {
		d := DrawOf(k.prop.Chip, FullWhite().Dim(level), 1)
		s, err := l.Sagging(nil, sameDraws(n.Pixels(), Draw{d.Idle * share, d.Red * share, d.Rest * share}), LawOf(k.prop.Chip))
		require.NoError(t, err)
		for _, pixel := range LoadTestPlaces(k.prop) {
			out = append(out, Reading{Level: level, Pixel: pixel, Volts: s.Volts(pixel) * (1 + noise*r.NormFloat64())})
		}
	}
	return out
}

// benchTests is how many props are tried: 200 with RINGOUT_LONG=1, else 16.
// few is what chance may take from or add to a count of so many.
func benchTests() (tests int, few float64) {
	if os.Getenv("RINGOUT_LONG") == "1" {
		return 200, 0
	}
	return 16, 1
}

func anyBench(r *rand.Rand) benchTest {
	p := prop.Porthole()
	p.Feeds = p.Feeds[:1+r.IntN(2)]
	return benchTest{prop: p}
}

// With a meter of 1 %, and with a good one, no prop without a fault is accused.
func TestNoGoodPropIsAccused(t *testing.T) {
	for _, noise := range []float64{0.01, 0.001} {
		r := rand.New(rand.NewPCG(21, uint64(noise*1e4)))
		accused := 0
		tests, _ := benchTests()
		for range tests {
			k := anyBench(r)
			got, err := Fit(k.prop, k.readings(t, r, noise))
			require.NoError(t, err)
			if got.Verdict != FitGood {
				accused++
				t.Logf("noise %g: %s", noise, got.Text)
			}
		}
		assert.Zero(t, accused, "noise %g", noise)
	}
}

// At least 95 of 100 stated ranges hold the ohms put in, whatever the meter's
// noise; differences between the feeds' contacts hide no bad joint.
func TestOhmsLieWithinTheirRange(t *testing.T) {
	for _, row := range []struct{ noise, named float64 }{{0.01, 0.3}, {0.002, 0.8}} {
		r := rand.New(rand.NewPCG(22, uint64(row.noise*1e4)))
		within, named, wrong := 0, 0, 0
		tests, few := benchTests()
		for range tests {
			k := anyBench(r)
			k.bad, k.ohms = 1+r.IntN(2), 0.1+0.7*r.Float64()
			got, err := Fit(k.prop, k.readings(t, r, row.noise))
			require.NoError(t, err)
			for _, s := range got.Suspects {
				if s.Run == k.bad && abs(s.Ohms-k.ohms) <= s.PlusMinus {
					within++
				}
			}
			switch {
			case got.Verdict != FitFound:
			case got.Suspects[0].Run == k.bad:
				named++
			default:
				wrong++
			}
		}
		t.Logf("noise %g: %d of %d within, %d named, %d wrongly", row.noise, within, tests, named, wrong)
		assert.GreaterOrEqual(t, float64(within)+few, 0.95*float64(tests), "noise %g", row.noise)
		assert.GreaterOrEqual(t, float64(named), row.named*float64(tests), "noise %g", row.noise)
		assert.LessOrEqual(t, float64(wrong)-few, 0.02*float64(tests), "noise %g", row.noise)
	}
}

// What costs less than a tenth of the sag allowed is found and fine; the same
// joint with more is to be mended. By hand: with one feed at the start 108
// pixels lie past the first joint, and 0.5 V may be lost.
func TestAJointIsWorthMendingByWhatItCosts(t *testing.T) {
	p := prop.Porthole()
	p.Feeds = p.Feeds[:1]
	for _, row := range []struct {
		ohms float64
		fine bool
	}{{0.02, true}, {0.04, true}, {0.12, false}, {0.5, false}} {
		n, err := NetworkOf(p)
		require.NoError(t, err)
		n.Links[35].Plus += row.ohms
		l, err := NewLadder(n)
		require.NoError(t, err)
		var readings []Reading
		for _, level := range []float64{0.1, 0.5, 0.9} {
			s, err := l.Sagging(nil, sameDraws(n.Pixels(), DrawOf(p.Chip, FullWhite().Dim(level), 1)), LawOf(p.Chip))
			require.NoError(t, err)
			for _, pixel := range LoadTestPlaces(p) {
				readings = append(readings, Reading{Level: level, Pixel: pixel, Volts: s.Volts(pixel)})
			}
		}
		got, err := Fit(p, readings)
		require.NoError(t, err)
		assert.InDelta(t, 0.5, got.Allowed, 1e-9)
		assert.Equal(t, row.fine, got.Verdict == FitGood, "%g: %s", row.ohms, got.Text)
		for _, s := range got.Suspects {
			if s.Run == 1 {
				amps := 108 * (0.001 + 0.06*got.Level)
				assert.InDelta(t, s.Ohms*amps, s.Cost, 1e-6)
			}
		}
		if !row.fine {
			assert.Contains(t, got.Text, "% of the 0.50 V that may be lost on the way to a pixel, at level")
		}
	}
}
