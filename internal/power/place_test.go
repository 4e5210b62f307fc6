package power

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// exhaustive is the fewest feeds by trying every set of places, smallest
// first; -1 when even all of them do not hold.
func exhaustive(t require.TestingT, n *Network, amps []float64, wire Rails, minVolts float64) int {
	pixels := n.Pixels()
	holds := func(set uint) bool {
		c := n.clone()
		for i := range pixels {
			if set>>i&1 == 1 {
				c.Taps = append(c.Taps, Tap{i, wire})
			}
		}
		l, err := NewLadder(c)
		require.NoError(t, err)
		return l.Constant(nil, amps).Lowest >= minVolts
	}
	var choose func(set uint, from, k int) bool
	choose = func(set uint, from, k int) bool {
		if k == 0 {
			return holds(set)
		}
		for i := from; i <= pixels-k; i++ {
			if choose(set|1<<i, i+1, k-1) {
				return true
			}
		}
		return false
	}
	for k := 0; k <= pixels; k++ {
		if choose(0, 0, k) {
			return k
		}
	}
	return -1
}

func TestNeverOneFeedMoreThanNeeded(t *testing.T) {
	counts := map[int]int{}
	rapid.Check(t, func(t *rapid.T) {
		pixels := rapid.IntRange(1, 12).Draw(t, "pixels")
		n := chain(pixels, 5, 0, 0)
		for i := range n.Links {
			o := rapid.Float64Range(0.01, 0.4).Draw(t, "ohms")
			n.Links[i] = Rails{o, o}
			switch rapid.IntRange(0, 19).Draw(t, "cut") {
			case 0:
				n.Links[i].Plus = Broken
			case 1:
				n.Links[i] = Rails{Broken, Broken}
			}
		}
		n.Taps = append(n.Taps, tap(rapid.IntRange(0, pixels-1).Draw(t, "at"), rapid.Float64Range(0, 0.3).Draw(t, "feed")))
		if pixels > 2 && rapid.Bool().Draw(t, "closed") {
			n.ring(0, rapid.IntRange(1, pixels-1).Draw(t, "end"), 0.1)
		}
		amps := make([]float64, pixels)
		for i := range amps {
			amps[i] = rapid.Float64Range(0.001, 0.3).Draw(t, "amps")
		}
		o := rapid.Float64Range(0, 0.5).Draw(t, "wire")
		wire := Rails{o, o}
		if rapid.Bool().Draw(t, "the black wire is another") {
			wire.Minus = rapid.Float64Range(0, 0.5).Draw(t, "black wire")
		}
		minVolts := rapid.Float64Range(4, 4.95).Draw(t, "least")
		got, err := PlaceFeeds(n, amps, wire, minVolts, 1<<30, 0, pixels-1)
		require.NoError(t, err)
		want := exhaustive(t, n, amps, wire, minVolts)
		assert.Equal(t, want >= 0, got.Possible)
		if want < 0 {
			assert.Empty(t, got.Pixels)
			return
		}
		counts[want]++
		assert.True(t, got.Proven)
		assert.Len(t, got.Pixels, want)
		// the search without its good guesses finds as much, and no more
		assert.True(t, tryOnly(t, n, amps, wire, minVolts, want))
		assert.False(t, tryOnly(t, n, amps, wire, minVolts, want-1))
		check := n.clone()
		for _, i := range got.Pixels {
			check.Taps = append(check.Taps, Tap{i, wire})
		}
		l, err := NewLadder(check)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, l.Constant(nil, amps).Lowest, minVolts)
	})
	t.Logf("props by the feeds they needed: %v", counts)
}

func tryOnly(t require.TestingT, n *Network, amps []float64, wire Rails, minVolts float64, k int) bool {
	l, err := NewLadder(n)
	require.NoError(t, err)
	s := newSearch(l, amps, wire, minVolts, 1<<30)
	if s.holds() || k < 1 {
		return k >= 0 && s.holds()
	}
	ahead, behind := s.windows(false), s.windows(true)
	if k < max(len(ahead), len(behind)) {
		return false
	}
	lo, hi := s.bounds(k, ahead, behind)
	s.set(0, s.n, false)
	var at []int
	return s.try(&at, lo, hi)
}

// Larger straight strips, where the answer is still quick to try out in full
// for up to three feeds.
func TestFeedsOnRealStrip(t *testing.T) {
	c := chip(t, "WS2812B")
	for _, row := range []struct {
		pixels, most int
	}{{60, 2}, {90, 3}, {120, 3}, {150, 2}} {
		n := chain(row.pixels, 5, step60, step60, tap(0, 0.03))
		amps := make([]float64, row.pixels)
		for i := range amps {
			amps[i] = PixelAmps(c, FullWhite())
		}
		got, err := PlaceFeeds(n, amps, Rails{0.03, 0.03}, c.MinVolts, 1<<30)
		require.NoError(t, err)
		require.True(t, got.Possible && got.Proven)
		require.LessOrEqual(t, len(got.Pixels), row.most)
		assert.GreaterOrEqual(t, got.Lowest, c.MinVolts)
		assert.False(t, anySet(t, n, amps, len(got.Pixels)-1, c.MinVolts), "%d pixels: one feed fewer would do", row.pixels)
	}
}

// anySet tries every set of k places.
func anySet(t *testing.T, n *Network, amps []float64, k int, minVolts float64) bool {
	var try func(c *Network, from, k int) bool
	try = func(c *Network, from, k int) bool {
		if k == 0 {
			l, err := NewLadder(c)
			require.NoError(t, err)
			return l.Constant(nil, amps).Lowest >= minVolts
		}
		for i := from; i < n.Pixels(); i++ {
			d := c.clone()
			d.Taps = append(d.Taps, tap(i, 0.03))
			if try(d, i+1, k-1) {
				return true
			}
		}
		return false
	}
	return try(n, 0, k)
}

// Where a joint holds as well, the feed goes there.
func TestFeedsGoToHandyPlaces(t *testing.T) {
	c := chip(t, "WS2812B")
	n := chain(90, 5, step60, step60, tap(0, 0.03))
	amps := make([]float64, 90)
	for i := range amps {
		amps[i] = PixelAmps(c, FullWhite())
	}
	free, err := PlaceFeeds(n, amps, Rails{0.03, 0.03}, c.MinVolts, 1<<30)
	require.NoError(t, err)
	require.Len(t, free.Pixels, 1)
	joint := free.Pixels[0] + 3
	got, err := PlaceFeeds(n, amps, Rails{0.03, 0.03}, c.MinVolts, 1<<30, 20, joint)
	require.NoError(t, err)
	assert.Equal(t, []int{joint}, got.Pixels)
	assert.GreaterOrEqual(t, got.Lowest, c.MinVolts)
	assert.LessOrEqual(t, got.Lowest, free.Lowest, "the place chosen freely leaves the most")
	far, err := PlaceFeeds(n, amps, Rails{0.03, 0.03}, c.MinVolts, 1<<30, 1)
	require.NoError(t, err)
	assert.Equal(t, free.Pixels, far.Pixels, "one that does not hold is left alone")
}

// A prop too long for proofs: the placement holds all the same, and says that
// fewer were not ruled out.
func TestLongPropGetsAPlacementThatHolds(t *testing.T) {
	c := chip(t, "WS2812B")
	n := chain(3000, 5, step60, step60, tap(0, 0.03))
	amps := make([]float64, n.Pixels())
	for i := range amps {
		amps[i] = DrawOf(c, FullWhite(), 0.3).Amps()
	}
	got, err := PlaceFeeds(n, amps, Rails{0.03, 0.03}, c.MinVolts, 1_000_000)
	require.NoError(t, err)
	assert.True(t, got.Possible)
	assert.False(t, got.Proven)
	for _, i := range got.Pixels {
		n.Taps = append(n.Taps, tap(i, 0.03))
	}
	l, err := NewLadder(n)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, l.Constant(nil, amps).Lowest, c.MinVolts)
	assert.Contains(t, unprovenText(got), "fewest found")
}

// Of as many feeds, those given leave the most voltage: none stands better a pixel
// further on or back. The voltage said is that of the network with the feeds in it.
func TestNoFeedStandsBetterNextToItsPlace(t *testing.T) {
	placed := 0
	rapid.Check(t, func(t *rapid.T) {
		n := chain(rapid.IntRange(8, 60).Draw(t, "pixels"), 5, step60, step60, tap(0, 0.03))
		amps := make([]float64, n.Pixels())
		for i := range amps {
			amps[i] = rapid.Float64Range(0.02, 0.15).Draw(t, "amps")
		}
		got, err := PlaceFeeds(n, amps, Rails{0.03, 0.03}, rapid.Float64Range(4.5, 4.95).Draw(t, "least"), 1<<30)
		require.NoError(t, err)
		if !got.Possible || len(got.Pixels) == 0 || len(got.Pixels) > 4 {
			return
		}
		placed++
		assert.InDelta(t, lowestWith(t, n, amps, got.Pixels), got.Lowest, 1e-9)
		for j := range got.Pixels {
			for _, to := range []int{got.Pixels[j] - 1, got.Pixels[j] + 1} {
				if to < 0 || to >= n.Pixels() || slices.Contains(got.Pixels, to) {
					continue
				}
				moved := slices.Clone(got.Pixels)
				moved[j] = to
				assert.LessOrEqual(t, lowestWith(t, n, amps, moved), got.Lowest+1e-9, "%v instead of %v", moved, got.Pixels)
			}
		}
	})
	assert.Positive(t, placed)
}

// lowestWith is the least voltage with feeds on wire like that of the tests.
func lowestWith(t require.TestingT, n *Network, amps []float64, at []int) float64 {
	with := n.clone()
	for _, i := range at {
		with.Taps = append(with.Taps, tap(i, 0.03))
	}
	l, err := NewLadder(with)
	require.NoError(t, err)
	return l.Constant(nil, amps).Lowest
}

// On a prop too long for proofs the feeds are no more than a builder would take who
// spaces them evenly: the first stretch begins at the feed that is there.
func TestLongPropNeedsNoMoreThanEvenFeeds(t *testing.T) {
	c := chip(t, "WS2812B")
	for _, row := range []struct {
		pixels int
		level  float64
	}{{2001, 0.3}, {2400, 0.2}, {3000, 0.25}} {
		n := chain(row.pixels, 5, step60, step60, tap(0, 0.03))
		amps := make([]float64, row.pixels)
		for i := range amps {
			amps[i] = DrawOf(c, FullWhite(), row.level).Amps()
		}
		even := 0
		for low := 0.0; low < c.MinVolts; low = lowestWith(t, n, amps, evenly(row.pixels, even)) {
			even++
		}
		got, err := PlaceFeeds(n, amps, Rails{0.03, 0.03}, c.MinVolts, placeWork)
		require.NoError(t, err)
		require.True(t, got.Possible)
		assert.LessOrEqual(t, len(got.Pixels), even, "%d pixels", row.pixels)
		assert.InDelta(t, lowestWith(t, n, amps, got.Pixels), got.Lowest, 1e-9)
		assert.GreaterOrEqual(t, got.Lowest, c.MinVolts)
	}
}

// evenly are places for k feeds beside one at the first pixel: the stretches between
// feeds are alike, and the last feed stands half of one before the end, since a stretch
// fed at one end sags as one of twice its length fed at both.
func evenly(pixels, k int) (out []int) {
	stretch := float64(pixels) / (float64(k) + 0.5)
	for i := 1; i <= k; i++ {
		out = append(out, int(stretch*float64(i)))
	}
	return out
}
