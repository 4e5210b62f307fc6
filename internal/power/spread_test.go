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

// shares is what cutInto promises, by looking at every place for every cut.
func shares(starts []int, sums []float64, k int, limit float64) []int {
	n, from := len(sums)-1, 0
	var cuts []int
	for left := k - 1; left > 0; left-- {
		even := (sums[n] - sums[from]) / float64(left+1)
		off := func(c int) float64 { return math.Abs(sums[c] - sums[from] - even) }
		fits := func(c int) bool {
			return c > from && c < n && sums[c]-sums[from] <= limit && sums[n]-sums[c] <= float64(left)*limit
		}
		best := -1
		for _, c := range starts {
			if fits(c) && (best < 0 || off(c) < off(best)) {
				best = c
			}
		}
		if best < 0 { // no joint serves: at the share, or the pixel before it
			at := 0
			for at < n && sums[at]-sums[from] < even-1e-12 {
				at++
			}
			for _, c := range []int{at - 1, at} {
				if fits(c) {
					best = c
				}
			}
		}
		if best < 0 {
			return nil
		}
		cuts, from = append(cuts, best), best
	}
	return cuts
}

// A prop is shared among the fewest supplies that it can be cut for: at joints
// where they serve, each part within the limit.
func TestCutsForSupplies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := &Report{}
		var full []float64
		for range rapid.IntRange(1, 5).Draw(t, "runs") {
			r.starts = append(r.starts, len(full))
			amps := float64(rapid.IntRange(1, 8).Draw(t, "amps"))
			for range rapid.IntRange(1, 9).Draw(t, "pixels") {
				full = append(full, amps)
			}
		}
		sums := sumsOf(full)
		r.Supply.Limit = float64(rapid.IntRange(8, 40).Draw(t, "limit"))
		r.SuppliesLeast = int(math.Ceil(sums[len(full)] / r.Supply.Limit))
		got := r.supplyCuts(sums)
		for k := max(2, r.SuppliesLeast); k <= len(full); k++ {
			want := shares(r.starts, sums, k, r.Supply.Limit)
			if want != nil {
				require.Equal(t, want, got, "%v at %v, limit %g", full, r.starts, r.Supply.Limit)
				break
			}
		}
		from := 0
		for _, end := range append(slices.Clone(got), len(full)) {
			if got != nil {
				require.LessOrEqual(t, sums[end]-sums[from], r.Supply.Limit)
			}
			from = end
		}
		feeds := []FeedReport{{Pixel: 0}, {Pixel: len(full) - 1}}
		for _, c := range got {
			feeds = append(feeds, FeedReport{Pixel: c}, FeedReport{Pixel: c - 1})
		}
		from, total := 0, 0
		for i, part := range supplyParts(got, sums, feeds) {
			end := len(full)
			if i < len(got) {
				end = got[i]
			}
			require.Equal(t, [2]int{from, end - 1}, [2]int{part.First, part.Last})
			require.InDelta(t, sums[end]-sums[from], part.Amps, 1e-9)
			for _, f := range part.Feeds {
				require.True(t, f.Pixel >= part.First && f.Pixel <= part.Last)
			}
			total += len(part.Feeds)
			from = end
		}
		require.Equal(t, len(feeds), total, "each feed in one part")
		require.Equal(t, len(full), from)
	})
	// Of parts that fall short, the lowest pixel of each.
	r := &Report{MinVolts: 4.5}
	s := &Solution{Plus: []float64{4.4, 4.3, 4.6, 4.5, 4.7, 4.2}, Minus: make([]float64, 6)}
	assert.Equal(t, []int{1, 5}, r.tooLow([]SupplyPart{{First: 0, Last: 1}, {First: 2, Last: 4}, {First: 5, Last: 5}}, s))
	assert.Equal(t, []int{1}, r.tooLow([]SupplyPart{{First: 1, Last: 3}}, s), "the first pixel too")
	assert.Equal(t, []int{5}, r.tooLow([]SupplyPart{{First: 3, Last: 5}}, s), "and the last")
}

// Windows of feeds, by hand: the k feeds lie in order, so that the second is
// never on the first pixel, nor the last but one on the last.
func TestBoundsOfFeeds(t *testing.T) {
	s := &search{n: 10}
	lo, hi := s.bounds(3, nil, nil)
	assert.Equal(t, [2][]int{{0, 1, 2}, {7, 8, 9}}, [2][]int{lo, hi})
	lo, hi = s.bounds(3, []int{2, 5}, []int{6, 3})
	assert.Equal(t, [2][]int{{0, 3, 6}, {2, 5, 9}}, [2][]int{lo, hi}, "how far ahead, and how far from the end")
	lo, hi = s.bounds(1, []int{4}, []int{4})
	assert.Equal(t, [2][]int{{4}, {4}}, [2][]int{lo, hi})
}

// On straight strip the places found leave as much voltage as the best of all
// sets of as many, tried one by one; and the stretches between feeds sag alike.
func TestPlacesLeaveTheMost(t *testing.T) {
	for _, pixels := range []int{24, 41, 57} {
		for _, minVolts := range []float64{4.6, 4.8, 4.9} {
			n := chain(pixels, 5, 0.02, 0.02, tap(0, 0.03))
			amps := make([]float64, pixels)
			for i := range amps {
				amps[i] = 0.06
			}
			got, err := PlaceFeeds(n, amps, Rails{0.03, 0.03}, minVolts, 1<<30)
			require.NoError(t, err)
			if len(got.Pixels) == 0 || len(got.Pixels) > 2 {
				continue
			}
			best := 0.0
			for a := range pixels {
				for b := a; b < pixels; b++ {
					c := n.clone()
					c.Taps = append(c.Taps, tap(a, 0.03))
					if len(got.Pixels) == 2 {
						c.Taps = append(c.Taps, tap(b, 0.03))
					}
					l, err := NewLadder(c)
					require.NoError(t, err)
					best = max(best, l.Constant(nil, amps).Lowest)
				}
			}
			assert.InDelta(t, best, got.Lowest, 0.002, "%d pixels, %g V: %v", pixels, minVolts, got.Pixels)
		}
	}
	// Six feeds more on 300 pixels, from anywhere: each stretch between two
	// comes to sag alike, and the last, fed from one end, half as long.
	l, err := NewLadder(chain(300, 5, 0.004, 0.004, tap(0, 0.01)))
	require.NoError(t, err)
	amps := make([]float64, 300)
	for i := range amps {
		amps[i] = 0.03
	}
	s := newSearch(l, amps, Rails{0.01, 0.01}, 4.9, 1<<30)
	s.goal = math.Inf(1)
	at := s.balance([]int{3, 4, 5, 100, 120, 290}, 25)
	s.setOnly(at)
	s.lowest()
	var lows []float64
	from := 0
	for _, end := range append(slices.Clone(at), 300) {
		low := 5.0
		for i := from; i < end; i++ {
			low = min(low, s.sol.Volts(i))
		}
		lows, from = append(lows, low), end
	}
	for _, low := range lows {
		assert.InDelta(t, lows[0], low, 0.12*(5-lows[0]), "%v: %.3f", at, lows)
	}
	assert.InDelta(t, float64(at[5]-at[4])/2, float64(300-at[5]), 5, "%v", at)
}

// How far along each feed may lie at most, by trying every place: the first so
// far that feeds everywhere from it on save all before it, the next so far that
// they save what lies behind the first; from the far end the same mirrored.
func TestWindowsOfFeeds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pixels := rapid.IntRange(2, 14).Draw(t, "pixels")
		n := chain(pixels, 5, 0, 0, tap(rapid.IntRange(0, pixels-1).Draw(t, "at"), rapid.Float64Range(0, 0.2).Draw(t, "feed")))
		for i := range n.Links {
			o := rapid.Float64Range(0.01, 0.3).Draw(t, "ohms")
			n.Links[i] = Rails{o, o}
		}
		amps := make([]float64, pixels)
		for i := range amps {
			amps[i] = rapid.Float64Range(0.001, 0.3).Draw(t, "amps")
		}
		wire, least := Rails{0.05, 0.05}, rapid.Float64Range(4.3, 4.9).Draw(t, "least")
		holds := func(on func(i int) bool) bool {
			c := n.clone()
			for i := range pixels {
				if on(i) {
					c.Taps = append(c.Taps, Tap{i, wire})
				}
			}
			l, err := NewLadder(c)
			require.NoError(t, err)
			return l.Constant(nil, amps).Lowest >= least
		}
		if !holds(func(int) bool { return true }) {
			return
		}
		l, err := NewLadder(n)
		require.NoError(t, err)
		s := newSearch(l, amps, wire, least, 1<<30)
		for _, reverse := range []bool{false, true} {
			way := func(i int) int {
				if reverse {
					return pixels - 1 - i
				}
				return i
			}
			gap := func(from, to int) bool {
				return holds(func(i int) bool { return way(i) <= from || way(i) >= to })
			}
			var want []int
			for from := -1; !gap(from, pixels); {
				far := from + 1
				for far+1 < pixels && gap(from, far+1) {
					far++
				}
				want, from = append(want, way(far)), far
			}
			require.Equal(t, want, s.windows(reverse), "reverse %v", reverse)
		}
	})
}

// Where a place moved by one pixel leaves more voltage, polish moves it.
func TestPolishedPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pixels := rapid.IntRange(5, 40).Draw(t, "pixels")
		n := chain(pixels, 5, 0.02, 0.02, tap(0, 0.03))
		amps := make([]float64, pixels)
		for i := range amps {
			amps[i] = rapid.Float64Range(0.01, 0.1).Draw(t, "amps")
		}
		l, err := NewLadder(n)
		require.NoError(t, err)
		s := newSearch(l, amps, Rails{0.03, 0.03}, 4.9, 1<<30)
		s.goal = math.Inf(1)
		at := s.polish(rapid.SliceOfNDistinct(rapid.IntRange(0, pixels-1), 1, 3, rapid.ID).Draw(t, "at"))
		s.setOnly(at)
		best := s.lowest()
		for j, from := range at {
			for _, to := range []int{from - 1, from + 1} {
				if to < 0 || to >= pixels || slices.Contains(at, to) {
					continue
				}
				moved := slices.Clone(at)
				moved[j] = to
				s.setOnly(moved)
				require.LessOrEqual(t, s.lowest(), best+1e-9, "%v, better with %d for %d", at, to, from)
			}
		}
	})
}

// How many supplies full level takes at least: the whole current over what one
// gives for hours, and no more where it comes out even.
func TestSuppliesAtLeast(t *testing.T) {
	for _, row := range []struct {
		pixels int
		amps   float64 // of the supply; 80 % of it for hours
		least  int
	}{{19, 1, 0}, {21, 1, 2}, {40, 1, 2}, {41, 1, 3}, {60, 1.5, 2}, {61, 1.5, 3}} {
		p := prop.Porthole()
		p.Parts, p.Feeds = nil, p.Feeds[:1]
		p.Runs = p.Runs[:1]
		p.Runs[0].Pixels = row.pixels
		p.Chip.IdleAmps, p.Chip.ChannelAmps = 0, 0.04/3
		p.Supply.Amps, p.Supply.Continuous = row.amps, 0.8
		r := planned(t, p, 0.1)
		assert.Equal(t, row.least, r.SuppliesLeast, "%d pixels of 40 mA, %g A", row.pixels, row.amps)
	}
	small, err := CheckFuse(prop.Feed{WireMetre: 1, Wire: prop.Wire{AWG: 14}, FuseAmps: 0.5}, prop.Supply{Volts: 5, Amps: 100}, both(4), 20)
	require.NoError(t, err)
	assert.Contains(t, small.Sentences("F")[0], "F: the 0.5 A fuse is too small for 4.0 A")
	p := prop.Porthole()
	assert.Equal(t, Good, planned(t, p, 0.1).Joints[0].Lead)
	for i := range p.Runs {
		p.Runs[i].LeadIn, p.Runs[i].LeadOut = 0, 0
	}
	assert.Equal(t, NotChecked, planned(t, p, 0.1).Joints[0].Lead, "there is no lead to check")
}
