package power

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// at makes readings of pixels counted from 0 at one level.
func at(level float64, volts map[int]float64) (out []Reading) {
	for _, pixel := range LoadTestPlaces(prop.Porthole()) {
		if v, ok := volts[pixel]; ok {
			out = append(out, Reading{Level: level, Pixel: pixel, Volts: v})
		}
	}
	return out
}

// The Porthole: rings of 36, 48 and 60 pixels in line, feeds "A" at the first
// pixel and "B" at the last. Where voltage ends follows from which conductors
// lead there (by hand).
func TestNoVoltage(t *testing.T) {
	one, two := loadTestProp(1), prop.Porthole()
	long := loadTestProp(0)
	for name, row := range map[string]struct {
		p        *prop.Prop
		readings []Reading
		says     []string
		suspects []int // runs of joints; 0 for a feed
	}{
		"none at all": {one, append(at(0.1, map[int]float64{0: 0, 35: 0, 143: 0}), at(0.5, map[int]float64{0: 0})...),
			[]string{"No voltage arrives: all 4 readings are 0 V", "supply on", "fuse", "plus and minus not swapped", "the lead from the supply to " + FeedName(one, 0), "Power off before you touch wires or fuse", "mains side is for licensed people"}, nil},
		"next to none":    {one, at(0.1, map[int]float64{0: 0.12, 35: 0.01, 143: 0}), []string{"all 3 readings are next to 0 V (0.12 V at most)"}, nil},
		"one reading":     {one, at(0.1, map[int]float64{0: 0}), []string{"the only reading is 0 V"}, nil},
		"without a feed":  {long, []Reading{{Level: 0.1}, {Level: 0.1, Pixel: 143}}, []string{"lead from the supply to the first pixel carry"}, nil},
		"behind a joint":  {one, at(0.1, map[int]float64{0: 4.98, 35: 4.96, 36: 0, 83: 0, 84: 0, 143: 0.02}), []string{`No voltage after the joint between "inner ring" and "middle ring", at pixels 37 to 144 (4.96 V before it): look at the joint between "inner ring" and "middle ring". Power off first`}, []int{1}},
		"a place skipped": {one, at(0.1, map[int]float64{0: 4.98, 35: 4.96, 84: 0, 143: 0}), []string{`look at the joint between "inner ring" and "middle ring" or the joint between "middle ring" and "outer ring"`}, []int{1, 2}},
		"inside a run":    {one, at(0.1, map[int]float64{0: 4.98, 35: 0, 36: 0, 143: 0}), []string{`No voltage at pixels 36 to 144: look at the strip between pixels 1 and 36 of "inner ring"`}, nil},
		"two feeds, the middle": {two, at(0.1, map[int]float64{0: 4.98, 35: 4.96, 36: 0, 83: 0, 84: 4.95, 143: 4.98}),
			[]string{`look at the joint between "inner ring" and "middle ring", and at the joint between "middle ring" and "outer ring"`}, []int{1, 2}},
		"two feeds, the end": {two, at(0.1, map[int]float64{0: 4.98, 35: 4.96, 36: 4.9, 83: 4.9, 84: 0, 143: 0}),
			[]string{`No voltage after the joint between "middle ring" and "outer ring"`, "and at " + FeedName(two, 1) + " with its fuse"}, []int{2, 0}},
		"two feeds, the front": {two, at(0.1, map[int]float64{0: 0, 35: 0, 36: 4.9, 83: 4.9, 143: 4.98}),
			[]string{`No voltage before the joint between "inner ring" and "middle ring", at pixels 1 to 36: look at`, "and at " + FeedName(two, 0) + " with its fuse"}, []int{1, 0}},
		"went with the load": {one, append(at(0.1, map[int]float64{0: 4.98, 143: 4.9}), at(0.5, map[int]float64{0: 0, 143: 0})...),
			[]string{`The voltage went away: 4.98 V at pixel 1 of "inner ring" at level 10 %, none there at level 50 %`, "fuse has blown"}, nil},
		"came with the load": {one, append(at(0.1, map[int]float64{0: 0, 143: 4.9}), at(0.5, map[int]float64{0: 4.9, 143: 4.8})...),
			[]string{"The voltage comes and goes: none at pixel 1", "measure there again"}, nil},
	} {
		got, err := Fit(row.p, row.readings)
		require.NoError(t, err, name)
		assert.Equal(t, FitNone, got.Verdict, "%s: %s", name, got.Text)
		for _, want := range row.says {
			assert.Contains(t, got.Text, want, name)
		}
		var runs []int
		for _, s := range got.Named() {
			runs = append(runs, s.Run)
			assert.True(t, s.Open(), name)
		}
		assert.Equal(t, row.suspects, runs, name)
	}
}

// Readings no supply of the plan can give: said in one sentence before the rest. Where the
// others fit, one is named from 3 % of the supply's volts on (outlierShare); where they
// scatter, only beyond six times their noise.
func TestTooHigh(t *testing.T) {
	p := loadTestProp(1)
	k := loadTest{Feeds: 1, Run: -1, Supply: 5, Share: 1, Rails: 1}
	for _, row := range []struct {
		supply, typed float64 // typed in place of the fifth reading
		noise         float64 // of the others, volts, one standard deviation
		says          string
	}{
		{5.2, 0, 0, ""},
		{5, 5.14, 0, `Reading 5, 5.14 V at pixel 1 of "outer ring", does not fit the others, which want 4.51 V there`},
		{5, 5.16, 0, `Reading 5, 5.16 V at pixel 1 of "outer ring", is more than the supply gives: 5.00 V by the other readings`},
		{5, 5.3, 0.06, `Reading 5, 5.30 V at pixel 1 of "outer ring", does not fit the others, which want 4.50 V there`},
		{5, 5.5, 0.06, `Reading 5, 5.50 V at pixel 1 of "outer ring", is more than the supply gives: 4.97 V by the other readings`},
		{5.6, 0, 0, "V where the plan's supply has 5 V: typing errors, another supply, or one that is turned up. No joint or feed stands out"},
		{5, 5.95, 0, `Reading 5, 5.95 V at pixel 1 of "outer ring", is more than the supply gives: 5.00 V by the other readings: a typing error`},
	} {
		k.Supply = row.supply
		l, err := NewLadder(k.truth(t))
		require.NoError(t, err)
		var readings []Reading
		meter := rand.New(rand.NewPCG(1, 2))
		for _, level := range loadLevels[1:] {
			s, err := l.Sagging(nil, sameDraws(p.Pixels(), sent(p, level)), LawOf(p.Chip))
			require.NoError(t, err)
			for _, pixel := range LoadTestPlaces(p) {
				readings = append(readings, Reading{Level: level, Pixel: pixel, Volts: s.Volts(pixel) + row.noise*meter.NormFloat64()})
			}
		}
		if row.typed > 0 {
			readings[4].Volts = row.typed
		}
		got, err := Fit(p, readings)
		require.NoError(t, err)
		if row.says == "" {
			assert.Equal(t, FitGood, got.Verdict, got.Text)
			assert.True(t, len(got.Text) > 0 && got.Text[0] == 'N', got.Text)
			continue
		}
		assert.Contains(t, got.Text, row.says)
		assert.Equal(t, row.typed == 0, got.Verdict == FitGood, "%s: a reading to take again proves nothing", row.says)
	}
}

// A dead stretch names the feeds that enter in it: from its first pixel to its last, both
// of them too. Without any feed in the file it is the supply lead, which enters at the first pixel.
func TestFeedsOfADeadStretch(t *testing.T) {
	p := prop.Porthole()
	p.Feeds = nil
	places := []int{0, 35, 36, 83, 84, 143}
	for _, at := range places {
		p.Feeds = append(p.Feeds, prop.Feed{Pixel: at})
	}
	for a := range places {
		for b := a; b < len(places); b++ {
			s := stretch{before: -1, first: places[a], last: places[b], after: -1}
			var got, want []int
			for _, x := range s.feeds(p) {
				got = append(got, x.Feed)
				assert.Equal(t, FeedName(p, x.Feed), x.Name)
			}
			for i := a; i <= b; i++ {
				want = append(want, i)
			}
			assert.Equal(t, want, got, "pixels %d to %d", s.first, s.last)
		}
	}
	p.Feeds = nil
	assert.Len(t, stretch{before: -1, first: 0, last: 35, after: 36}.feeds(p), 1)
	assert.Empty(t, stretch{before: 35, first: 36, last: 143, after: -1}.feeds(p))
}
