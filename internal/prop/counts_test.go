package prop

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

var nestInches = []float64{93, 81.5, 69, 56.5} // common practice: cut from one coil of 25 ft

func TestCountsOfFourNestedRings(t *testing.T) {
	chip, _ := ChipByName("WS2812B")
	chip.LightsPerMetre = 30
	// Source: common practice, tubes of these lengths carry these counts at 30
	// a metre. Exact quotients by hand: 70.87, 62.10, 52.58, 43.05.
	practice := []int{71, 61, 52, 42}
	whole := []int{70, 62, 52, 43}
	nearest := []int{71, 62, 53, 43}
	for i, in := range nestInches {
		f := FitLength(in*inch, chip)
		assert.Equal(t, whole[i], f.Whole, "%v in, rounded down", in)
		assert.Equal(t, nearest[i], f.Nearest, "%v in, nearest pad", in)
		assert.InDelta(t, practice[i], f.Whole, 1, "%v in, against practice", in)
		assert.InDelta(t, practice[i], f.Nearest, 1, "%v in, against practice", in)
	}
	assert.Equal(t, "70 pixels fit whole, 1.14 in of tube stays unlit; 71 is the nearest pad, 0.18 in past the end",
		FitLength(93*inch, chip).Say(true)) // 93 - 70/30 m = 1.14 in; 71/30 m - 93 in = 0.18 in
	assert.Equal(t, "43 pixels fit whole, 1.8 mm of tube stays unlit", FitLength(56.5*inch, chip).Say(false))
}

func TestGroupedStripIsCutBetweenGroups(t *testing.T) {
	chip, _ := ChipByName("WS2811 12V")
	// Source: WS2811 strip at 60 LEDs a metre has 20 groups a metre, cut only
	// between groups of 3 (common practice): 1.04 m holds 20 groups, not 20.8.
	f := FitLength(1.04, chip)
	assert.Equal(t, 20, f.Whole)
	assert.InDelta(t, 1.0, StripLength(f.Whole, chip), 1e-12)
	assert.InDelta(t, 0.04, f.Left(), 1e-12)
	bulb, _ := ChipByName("bulb RGBW")
	assert.Equal(t, Fit{Length: 1}, FitLength(1, bulb), "a bulb has no density to count by")
}

func TestFitLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		chip := Chip{LightsPerMetre: rapid.Float64Range(1, 300).Draw(t, "density"), LightsPerPixel: rapid.IntRange(1, 6).Draw(t, "group")}
		l := rapid.Float64Range(0, 50).Draw(t, "metres")
		f := FitLength(l, chip)
		if StripLength(f.Whole, chip) > l+1e-8*f.Pitch {
			t.Fatalf("%d pixels do not fit %v m", f.Whole, l)
		}
		if StripLength(f.Whole+1, chip) <= l {
			t.Fatalf("one more than %d fits %v m", f.Whole, l)
		}
		if math.Abs(f.Over()) > f.Pitch/2+1e-9 {
			t.Fatalf("%d is not the pad nearest to %v m", f.Nearest, l)
		}
		if back := FitLength(StripLength(f.Whole, chip), chip).Whole; back != f.Whole {
			t.Fatalf("strip of %d pixels is counted as %d", f.Whole, back)
		}
	})
}

func TestRingsBothWays(t *testing.T) {
	// Source: 60 pixels at 60 a metre are 1 m, and 1 m/pi is 318.31 mm.
	assert.InDelta(t, 0.31831, RingDiameter(1), 1e-5)
	assert.InDelta(t, 1, Circumference(RingDiameter(1)), 1e-15)
}

func TestNestedRingsStepBySpacing(t *testing.T) {
	// Source: geometry, 2 pi times 2 in = 12.566 in; common practice has the
	// lengths. The two inner steps and the mean step agree with it within half
	// an inch. The outermost ring was cut from what the 25 ft coil had left, so
	// its step of 11.5 in is 1.07 in short of the rule.
	const step = 12.566
	assert.InDelta(t, 2*inch, NestSpacing(50*inch+step*inch, 50*inch), 0.001*inch)
	assert.InDelta(t, nestInches[1]-nestInches[2], step, 0.5)
	assert.InDelta(t, nestInches[2]-nestInches[3], step, 0.5)
	assert.InDelta(t, (nestInches[0]-nestInches[3])/3, step, 0.5)
	assert.InDelta(t, 1.07, step-(nestInches[0]-nestInches[1]), 0.01)
	// Spacing from circumferences is within half an inch of 2 in.
	for i := range 3 {
		assert.InDelta(t, 2, NestSpacing(nestInches[i], nestInches[i+1]), 0.5)
	}
}

func TestBackboneOfFourNestedRings(t *testing.T) {
	// Source: common practice, marks 2 in apart at both ends and a span of
	// about 29.6 in, each within half an inch; 93/pi = 29.60 by hand.
	var d []float64
	for _, in := range nestInches {
		d = append(d, RingDiameter(in*inch))
	}
	marks := Backbone(d)
	var ring []int
	var at []float64
	for _, m := range marks {
		ring = append(ring, m.Ring)
		at = append(at, m.At/inch)
	}
	assert.Equal(t, []int{0, 1, 2, 3, 3, 2, 1, 0}, ring)
	for _, i := range []int{0, 1, 2, 4, 5, 6} {
		assert.InDelta(t, 2, at[i+1]-at[i], 0.5, "mark %d to %d", i+1, i+2)
	}
	assert.InDelta(t, 29.6, at[7]-at[0], 0.5)
	assert.InDelta(t, 29.603, at[7]-at[0], 0.001)
	assert.Empty(t, Backbone([]float64{0, -1}))
}

func TestPortholeRings(t *testing.T) {
	runs, d := RingDiameters(Porthole())
	assert.Equal(t, []int{0, 1, 2}, runs)
	// By hand: 36/60 m / pi = 190.99 mm, 48: 254.65, 60: 318.31.
	assert.InDeltaSlice(t, []float64{0.19099, 0.25465, 0.31831}, d, 1e-5)
}
