package power

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
)

// Pixels of equal current on strip of equal links, by Kirchhoff's laws. With i amps a
// pixel, r ohms a link and f ohms of feed, pixel k of n loses on a rail fed at its start
// f·n·i + r·i·(k·n - k(k+1)/2), fed at both ends f·n·i/2 + r·i·k(n-1-k)/2, and in a closed
// run fed at its start f·n·i + r·i·k(n-k)/2. Both solvers give that, for rails alike and
// unlike: a dark pixel draws its whole idle current from 2 V up.
func TestUniformLinesByClosedForms(t *testing.T) {
	law := LawOf(prop.Chip{Volts: 5})
	for _, unlike := range []float64{1, 1.5} {
		for _, n := range []int{1, 2, 3, 17, 100} {
			const i, r, f = 0.002, 0.003, 0.2
			form := map[string]func(k int) float64{
				"start":  func(k int) float64 { return f*i*float64(n) + r*i*float64(k*n-k*(k+1)/2) },
				"ends":   func(k int) float64 { return f*i*float64(n)/2 + r*i*float64(k*(n-1-k))/2 },
				"closed": func(k int) float64 { return f*i*float64(n) + r*i*float64(k*(n-k))/2 },
			}
			for name, drop := range form {
				feed := Rails{f, unlike * f}
				net := chain(n, 5, r, unlike*r, Tap{0, feed})
				switch {
				case name == "ends":
					net.Taps = append(net.Taps, Tap{n - 1, feed})
				case name == "closed":
					net.Loops = []Loop{{0, n - 1, Rails{r, unlike * r}}}
				}
				l, err := NewLadder(net)
				require.NoError(t, err)
				draws := sameDraws(n, Draw{Idle: i})
				sag, err := l.Sagging(nil, draws, law)
				require.NoError(t, err)
				for model, s := range map[string]*Solution{"constant": l.Constant(nil, ampsOf(draws)), "sagging": sag} {
					lowest := 5.0
					for k := range n {
						if n == 1 && name == "ends" {
							break // two feeds at one pixel: half of each
						}
						want := 5 - (1+unlike)*drop(k)
						lowest = min(lowest, want)
						require.InDelta(t, want, s.Volts(k), 1e-9, "%s, %s, pixel %d of %d, minus %g times plus", model, name, k, n, unlike)
						require.InDelta(t, unlike*drop(k), s.Minus[k], 1e-9)
					}
					if n > 1 || name != "ends" {
						require.InDelta(t, lowest, s.Lowest, 1e-9)
						require.InDelta(t, s.Lowest, s.Volts(s.At), 1e-12)
					}
					require.InDelta(t, i*float64(n), s.Total, 1e-12)
					require.Zero(t, s.Dead)
				}
			}
		}
	}
}

// Thicker wires of feeds cost no voltage anywhere, in either model, and neither does less
// light; nor do thicker rails where one feed supplies all. With two, a better joint may
// take from the one side what it gives to the other.
func TestMoreCopperLowersNoVoltage(t *testing.T) {
	law := LawOf(prop.Chip{Volts: 5})
	rapid.Check(t, func(t *rapid.T) {
		n := anyNetwork(t)
		one := rapid.Bool().Draw(t, "one feed")
		if one {
			n.Taps, n.Loops = n.Taps[:1], nil
		}
		better := n.clone()
		less := func(r Rails) Rails {
			k := rapid.SampledFrom([]float64{1, 0.9, 0.5}).Draw(t, "share")
			return Rails{r.Plus * k, r.Minus * k}
		}
		for i := range better.Links {
			if one {
				better.Links[i] = less(better.Links[i])
			}
		}
		for i := range better.Taps {
			better.Taps[i].Rails = less(better.Taps[i].Rails)
		}
		a, err := NewLadder(n)
		require.NoError(t, err)
		b, err := NewLadder(better)
		require.NoError(t, err)
		draws, dimmer := make([]Draw, n.Pixels()), make([]Draw, n.Pixels())
		for i := range draws {
			red, rest := rapid.Float64Range(0, 0.02).Draw(t, "red"), rapid.Float64Range(0, 0.04).Draw(t, "rest")
			draws[i], dimmer[i] = Draw{0.001, red, rest}, Draw{0.001, red / 2, rest / 3}
		}
		before := a.Constant(nil, ampsOf(draws))
		with := b.Constant(nil, ampsOf(draws))
		sag, err := a.Sagging(nil, draws, law)
		require.NoError(t, err)
		sagWith, err := b.Sagging(nil, draws, law)
		require.NoError(t, err)
		dim, err := a.Sagging(nil, dimmer, law)
		require.NoError(t, err)
		require.Equal(t, before.Dead, with.Dead, "what is cut stays cut")
		for i := range draws {
			require.GreaterOrEqual(t, with.Plus[i], before.Plus[i]-1e-9)
			require.LessOrEqual(t, with.Minus[i], before.Minus[i]+1e-9)
			if !a.same {
				continue // what one rail gains the other may lose as its pixels draw more
			}
			require.GreaterOrEqual(t, sagWith.Volts(i), sag.Volts(i)-1e-6)
			require.GreaterOrEqual(t, dim.Volts(i), sag.Volts(i)-1e-6)
		}
	})
	last := 6.0
	p := prop.Porthole()
	for awg := 10; awg <= 30; awg++ {
		for i := range p.Feeds {
			p.Feeds[i].Wire = prop.Wire{AWG: awg}
		}
		r := planned(t, p, 0.3)
		assert.Less(t, r.Constant.Lowest, last, "%d AWG is thinner", awg)
		last = r.Constant.Lowest
	}
	for awg := 5; awg <= 36; awg++ {
		thin, err := OhmsPerMetre(prop.Wire{AWG: awg}, 20)
		require.NoError(t, err)
		thick, err := OhmsPerMetre(prop.Wire{AWG: awg - 1}, 20)
		require.NoError(t, err)
		assert.InEpsilon(t, math.Pow(92, 2.0/39), thin/thick, 1e-9, "%d AWG: the gauge's own step", awg)
	}
}

// Voltages that are exact in binary: a prop that just holds needs no more feeds, and a
// prop one step short does.
func TestFeedsAtTheVeryLimit(t *testing.T) {
	n := chain(1, 5, 0, 0, tap(0, 0.5)) // 0.5 A through 0.5 Ω there and back leaves 4.5 V
	for least, want := range map[float64]bool{4.5: true, math.Nextafter(4.5, 5): false} {
		got, err := PlaceFeeds(n, []float64{0.5}, Rails{0.5, 0.5}, least, 1000)
		require.NoError(t, err)
		assert.Equal(t, want, len(got.Pixels) == 0, "%g V", least)
		assert.True(t, got.Possible && got.Proven)
	}
	none, err := PlaceFeeds(n, []float64{2}, Rails{1, 1}, 4.5, 1000)
	require.NoError(t, err)
	assert.True(t, !none.Possible && none.Proven && len(none.Pixels) == 0)
	assert.InDelta(t, 5-2*2.0/3, none.Lowest, 1e-9, "wires of 0.5 and 1 Ω side by side are not enough")
}

// A pixel, or several, that plus does not reach gets a feed of its own.
func TestFeedsForPixelsThatAreCutOff(t *testing.T) {
	for dead := 1; dead <= 3; dead++ {
		n := chain(12, 5, 0.01, 0.01, tap(0, 0.01))
		n.Links[11-dead].Plus = Broken
		amps := make([]float64, 12)
		for i := range amps {
			amps[i] = 0.02
		}
		got, err := PlaceFeeds(n, amps, Rails{0.01, 0.01}, 4.5, 1<<30)
		require.NoError(t, err)
		require.True(t, got.Possible && got.Proven, "%d cut off", dead)
		require.Len(t, got.Pixels, 1)
		assert.GreaterOrEqual(t, got.Pixels[0], 12-dead)
		n.Taps = append(n.Taps, tap(got.Pixels[0], 0.01))
		l, err := NewLadder(n)
		require.NoError(t, err)
		s := l.Constant(nil, amps)
		assert.Zero(t, s.Dead)
		assert.InDelta(t, s.Lowest, got.Lowest, 1e-9)
		assert.GreaterOrEqual(t, s.Lowest, 4.5)
	}
}

// anySearch is a search on a chain of any copper, with some places on.
func anySearch(t *rapid.T, amps func() float64) (s *search, at []int) {
	pixels := rapid.IntRange(4, 40).Draw(t, "pixels")
	n := chain(pixels, 5, 0, 0)
	for i := range n.Links {
		o := rapid.Float64Range(0.01, 0.1).Draw(t, "ohms")
		n.Links[i] = Rails{o, o}
	}
	for range rapid.IntRange(1, 3).Draw(t, "feeds") {
		n.Taps = append(n.Taps, tap(rapid.IntRange(0, pixels-1).Draw(t, "feed"), 0.05))
	}
	if rapid.Bool().Draw(t, "cut") {
		n.Links[rapid.IntRange(0, pixels-2).Draw(t, "where")].Plus = Broken
	}
	l, err := NewLadder(n)
	require.NoError(t, err)
	load := make([]float64, pixels)
	for i := range load {
		load[i] = amps()
	}
	at = rapid.SliceOfNDistinct(rapid.IntRange(0, pixels-1), 1, pixels/2, rapid.ID[int]).Draw(t, "at")
	at, _ = spaced(at, pixels)
	return newSearch(l, load, Rails{0.05, 0.05}, 4.9, 1<<30), at
}

// withPlaces solves the network of a search with more feeds, apart from the search.
func withPlaces(t require.TestingT, s *search, at []int) *Solution {
	n := s.l.net.clone()
	for _, i := range at {
		n.Taps = append(n.Taps, tap(i, 0.05))
	}
	l, err := NewLadder(n)
	require.NoError(t, err)
	return l.Constant(nil, s.amps)
}

// The next place is the pixel without supply, else the one of the lowest voltage, and
// where a feed is there already no free pixel is nearer to it.
func TestNextPlaceIsAtTheLowest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, at := anySearch(t, func() float64 { return rapid.Float64Range(0.001, 0.1).Draw(t, "amps") })
		with := withPlaces(t, s, at)
		low := with.At
		if with.Dead > 0 {
			low = with.DeadAt
		}
		got := s.insert(at)
		require.Len(t, got, len(at)+1)
		have := map[int]bool{}
		for _, i := range at {
			have[i] = true
		}
		added := -1
		for i, x := range got {
			require.True(t, x >= 0 && x < s.n && (i == 0 || x > got[i-1]), "%v", got)
			if !have[x] {
				added = x
			}
		}
		for x := range s.n {
			if !have[x] {
				require.LessOrEqual(t, max(added-low, low-added), max(x-low, low-x), "%d is nearer to %d than %d", x, low, added)
			}
		}
	})
}

// Several places at once are the lowest pixels of the lowest stretches, a stretch being
// what ends at a feed or at the last pixel.
func TestManyPlacesAtTheLowestStretches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, at := anySearch(t, func() float64 { return rapid.Float64Range(0.001, 0.1).Draw(t, "amps") })
		most := rapid.IntRange(2, 4).Draw(t, "most")
		with := withPlaces(t, s, at)
		have := map[int]bool{}
		for _, i := range at {
			have[i] = true
		}
		marks := map[int]bool{s.n - 1: true}
		for _, tap := range s.l.net.Taps {
			marks[tap.Pixel] = true
		}
		var free []float64 // the lowest of each stretch where it is free
		low := 0
		for i := range s.n {
			if with.Volts(i) < with.Volts(low) {
				low = i
			}
			if marks[i] || have[i] {
				if !have[low] {
					free = append(free, with.Volts(low))
				}
				low = min(i+1, s.n-1)
			}
		}
		got := s.insertMany(at, most)
		if len(free) == 0 {
			require.Len(t, got, len(at)+1)
			return
		}
		require.Len(t, got, len(at)+min(most, len(free)))
		higher := 0.0
		for i, x := range got {
			require.True(t, i == 0 || x > got[i-1], "%v", got)
			if !have[x] {
				higher = max(higher, with.Volts(x))
			}
		}
		below := 0
		for _, v := range free {
			if v < higher-1e-9 {
				below++
			}
		}
		require.Less(t, below, len(got)-len(at), "a lower stretch was left out")
	})
}

// Between feeds that stay, the places spread evenly where all pixels draw alike, on either
// side of them.
func TestPlacesBetweenFeedsThatStay(t *testing.T) {
	n := chain(301, 5, 0.004, 0.004, tap(0, 0.001), tap(100, 0.001), tap(300, 0.001))
	l, err := NewLadder(n)
	require.NoError(t, err)
	amps := make([]float64, 301)
	for i := range amps {
		amps[i] = 0.02
	}
	s := newSearch(l, amps, Rails{0.001, 0.001}, 4.9, 1<<30)
	s.goal = math.Inf(1)
	for _, row := range []struct{ at, want []int }{
		{[]int{280}, []int{200}}, {[]int{5, 10, 290}, []int{33, 67, 200}},
	} {
		got := s.balance(row.at, 25)
		require.Len(t, got, len(row.want))
		for i := range got {
			assert.InDelta(t, row.want[i], got[i], 2, "%v from %v", got, row.at)
		}
	}
}

// Places move to handy ones only while there are some, work is left and all holds there.
func TestPlacesMoveToHandyOnes(t *testing.T) {
	const pixels = 60
	amps := make([]float64, pixels)
	for i := range amps {
		amps[i] = 0.06
	}
	snapped := func(least float64, left int, handy ...int) []int {
		l, err := NewLadder(chain(pixels, 5, 0.005, 0.005, tap(0, 0.001)))
		require.NoError(t, err)
		s := newSearch(l, amps, Rails{0.001, 0.001}, least, left)
		s.easyPlaces = handy
		return s.snap([]int{40})
	}
	assert.Equal(t, []int{40}, snapped(4, 1<<20))
	assert.Equal(t, []int{44}, snapped(4, 1<<20, 59, 44, 0, 44))
	assert.Equal(t, []int{40}, snapped(4, 0, 44), "no work is left")
	assert.Equal(t, []int{44}, snapped(4, 1, 44), "a little is")
	assert.Equal(t, []int{40}, snapped(4.7, 1<<20, 1), "it would not hold there")
	for _, row := range []struct {
		at    int
		taken []int
		want  int
	}{{9, []int{10, 20, 30}, 0}, {29, []int{10, 20, 30}, 0}, {31, []int{20, 30, 0}, 10}} {
		got, ok := nearestFree([]int{0, 10, 20, 30}, row.at, row.taken)
		assert.True(t, ok, "%+v", row)
		assert.Equal(t, row.want, got, "%+v", row)
	}
	none, ok := nearestFree(nil, 5, nil)
	assert.Equal(t, []any{0, false}, []any{none, ok})
	for _, row := range [][2][]int{{{8, 9, 9}, {7, 8, 9}}, {{9, 9, 9}, {7, 8, 9}}, {{-2, -2, 5}, {0, 1, 5}}, {{0, 0, 0}, {0, 1, 2}}, {{4, 4, 5}, {4, 5, 6}}} {
		got, ok := spaced(row[0], 10)
		assert.True(t, ok)
		assert.Equal(t, row[1], got, fmt.Sprint(row[0]))
	}
}
