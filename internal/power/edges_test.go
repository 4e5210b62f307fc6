package power

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
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

// A run whose plus stands apart has no joint to judge, though its own feed
// lights it; nor has one that gets no supply.
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
	assert.Equal(t, []int{1}, runs(func(p *prop.Prop) { p.Runs[2].Apart = true }))
	assert.Equal(t, []int{2}, runs(func(p *prop.Prop) { p.Runs[1].Apart = true }), "the middle run is fed from the last")
	assert.Empty(t, runs(func(p *prop.Prop) { p.Runs[1].Apart, p.Runs[2].Apart = true, true }))
	assert.Empty(t, runs(func(p *prop.Prop) {
		p.Runs[1].Apart = true
		p.Feeds = p.Feeds[:1]
	}), "nothing passes between two runs that are dead")
}

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
	s.only(at)
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

// A wire carries what its rules allow, to the last ampere.
func TestWhatAWireCarriesAtItsLimits(t *testing.T) {
	c := FuseCheck{WireAmps: 2, FreeAmps: 5}
	for amps, want := range map[float64]Verdict{0: Good, 2: Good, 2.001: Doubtful, 5: Doubtful, 5.001: Bad} {
		assert.Equal(t, want, c.carries(amps), "%g A", amps)
	}
	assert.Equal(t, Bad, FuseCheck{WireAmps: 2}.carries(3), "no row of the table")
}

// Names of feeds: as the file gives them, else by number from 1; and ohms of
// strip: by the pitch, or by the length where chips come on none.
func TestNamesAndSteps(t *testing.T) {
	p := prop.Porthole()
	for name, want := range map[string]string{"": "feed 2", "feed 2": "feed 2", "feed 1": `feed "feed 1"`, "far": `feed "far"`} {
		p.Feeds[1].Name = name
		assert.Equal(t, want, FeedName(p, 1))
	}
	assert.Equal(t, "feed 3", FeedName(p, 2), "one that is to be added")
	p.Feeds = nil
	p.Runs[2].Apart = true
	assert.Equal(t, "the supply lead", FeedName(p, 0))
	assert.Equal(t, `the supply lead to pixel 1 of "outer ring"`, FeedName(p, 1))
	bulbs := &prop.Prop{RailOhms: 0.3}
	assert.InDelta(t, 0.3*2/10, stepOhms(bulbs, prop.Run{Cut: 2, Pixels: 10}), 1e-12)
	bulbs.Chip.LightsPerMetre, bulbs.Chip.LightsPerPixel = 30, 1
	assert.InDelta(t, 0.3/30, stepOhms(bulbs, prop.Run{Cut: 2, Pixels: 10}), 1e-12)
	one := &prop.Prop{Runs: []prop.Run{{Name: "a", Pixels: 9}}}
	three := prop.Porthole() // 36, 48 and 60 pixels
	for _, row := range []struct {
		p     *prop.Prop
		pixel int
		want  string
	}{{one, 0, "the start (pixel 1)"}, {one, 8, "the end (pixel 9)"}, {one, 4, `pixel 5, 5 of "a"`}, {three, 0, `the start of "inner ring" (pixel 1)`}, {three, 35, `the end of "inner ring" (pixel 36)`}, {three, 36, `the start of "middle ring" (pixel 37)`},
		{three, 83, `the end of "middle ring" (pixel 84)`}, {three, 38, `pixel 39, 3 of "middle ring"`}, {three, 144, "pixel 145"}} {
		run, at := row.p.Find(row.pixel)
		assert.Equal(t, row.want, feedPlace(row.p, row.pixel, run, at))
	}
}

// The figures of a band and of a chip, in the units they are said in.
func TestFiguresInSentences(t *testing.T) {
	p := prop.Porthole()
	p.Chip.Name, p.Chip.ChannelAmps, p.Chip.IdleAmps = "mine", 0.0185, 0.0007
	r := planned(t, p, 0.1)
	require.Nil(t, r.Band)
	assert.Contains(t, r.Assumed[0], "mine: 18.5 mA a channel at full and 0.7 mA dark;")
	r.Band = &Band{{IdleAmps: 0.0006, ChannelAmps: 0.0125, Amps: 2, SagAmps: 1.9, Lowest: 4.8, SagLowest: 4.9, HoldLevel: 0.5}, {IdleAmps: 0.0011, ChannelAmps: 0.0175, Amps: 4, SagAmps: 3.5, Lowest: 4.2, SagLowest: 4.4, HoldLevel: 0.3}}
	text := r.bandText(p)
	assert.Contains(t, text, "mine differ: 12.5 mA a channel at full and 0.6 mA dark up to 17.5 mA and 1.1 mA; single figures here are for 18.5 mA.")
	assert.Contains(t, text, "draws 2.0 to 4.0 A (1.9 to 3.5 A as it sags), its lowest voltage is 4.20 V to 4.80 V (4.40 V to 4.90 V), and it holds up to level 30 to 50 %.")
	p.Parts = append(p.Parts, prop.Part{Name: "gap", First: 10, Last: 14, Empty: true})
	assert.Contains(t, strings.Join(planned(t, p, 0.1).Assumed, "\n"), "5 pixels in empty parts: taken to stay dark and to draw 0.7 mA each.")
	thin := prop.Porthole()
	thin.Feeds[0].WireMetre = 8
	full := planned(t, thin, 1)
	found := false
	for _, s := range full.Findings {
		found = found || strings.Contains(s, fmt.Sprintf("loses %.2f V in its wires, %.0f %% of the supply", full.Feeds[0].Drop, 20*full.Feeds[0].Drop))
	}
	assert.True(t, found, "%v", full.Findings)
	dead, _ := deadTest(thin, 1, 0.9)
	assert.Contains(t, dead.Text, `The voltage went away: 4.90 V at pixel 1 of "inner ring" at level 90 %, none there at level 100 %.`)
	dead, _ = deadTest(thin, 0.9, 1)
	assert.Contains(t, dead.Text, `none at pixel 1 of "inner ring" at level 90 %, 4.90 V there at level 100 %.`)
	assert.Contains(t, (&FitResult{Allowed: 0.5, Level: 0.99}).shareText(Suspect{Cost: 0.45}), "90 % of the 0.50 V that may be lost on the way to a pixel, at level 99 %")
	p.Parts[len(p.Parts)-1].Last = 10
	assert.Contains(t, strings.Join(planned(t, p, 0.1).Assumed, "\n"), "1 pixel in empty parts", "one is enough to be said")
	dead, _ = deadTest(thin, 1, 1)
	assert.Contains(t, dead.Text, `none at pixel 1 of "inner ring" at level 100 %, 4.90 V there at level 100 %.`)
}

func deadTest(p *prop.Prop, none, some float64) (FitResult, bool) {
	return dead(p, []Reading{{Pixel: 0, Volts: 0, Level: none}, {Pixel: 0, Volts: 4.9, Level: some}, {Pixel: 9, Volts: 4.9, Level: some}})
}

// Readings above what the supply gives are said to be so: from 3 times 2 % and
// 40 mV above the plan on, more where the readings scatter.
func TestReadingsAboveThePlan(t *testing.T) {
	p := prop.Porthole()
	for _, row := range []struct {
		volts, noise float64
		want         bool
	}{{5.339, 0.010, false}, {5.341, 0.010, true}, {5.356, 0.019, false}, {5.358, 0.019, true}} {
		f, err := newFitter(p, []Reading{{Pixel: 0, Volts: 4.9}, {Pixel: 0, Volts: row.volts}, {Pixel: 0, Volts: 4.9}})
		require.NoError(t, err)
		r, err := f.tooHigh(p, FitResult{Noise: row.noise, Text: "As before."})
		require.NoError(t, err)
		assert.Equal(t, row.want, strings.HasPrefix(r.Text, "The readings go up to "+words.Volts(row.volts)+" where the plan's supply has 5 V: "), "%+v: %s", row, r.Text)
		assert.True(t, strings.HasSuffix(r.Text, "As before."))
	}
}

// One reading that no supply gives is left out when the rest agree without it,
// and only then: with four others at least, and far enough above them.
func TestOneReadingTooHigh(t *testing.T) {
	p := prop.Porthole()
	for i := range p.Runs {
		p.Runs[i].Pixels = 3
	}
	p.Parts, p.Feeds = nil, p.Feeds[:1]
	places := []int{0, 2, 3, 5, 6, 8}
	for _, row := range []struct {
		readings int
		above    float64 // volts above what it should be
		noise    float64
		want     bool
	}{{6, 0.9, 0.02, true}, {5, 0.9, 0.02, true}, {4, 0.9, 0.02, false}, {6, 0.2, 0.02, true}, {6, 0.13, 0.02, false}, {6, 0.9, 0.019, true}} {
		var readings []Reading
		for i := range row.readings {
			readings = append(readings, Reading{Level: 0.5, Pixel: places[i]})
		}
		volts, err := Planned(p, readings)
		require.NoError(t, err)
		for i := range readings {
			readings[i].Volts = volts[i]
		}
		readings[2].Volts = volts[2] + row.above
		f, err := newFitter(p, readings)
		require.NoError(t, err)
		r, err := f.tooHigh(p, FitResult{Noise: row.noise, Left: row.above / 2, ownNoise: 0.01, Text: "As before."})
		require.NoError(t, err)
		said := fmt.Sprintf(`Reading 3, %.2f V at pixel 1 of "middle ring", is more than the supply gives: 5.00 V by the other readings`, readings[2].Volts)
		assert.Equal(t, row.want, strings.HasPrefix(r.Text, said), "%+v: %s", row, r.Text)
		if row.above == 0.9 {
			whole, err := Fit(p, readings)
			require.NoError(t, err)
			assert.Equal(t, row.want, strings.HasPrefix(whole.Text, said), "%+v: %s", row, whole.Text)
		}
	}
}

// Readings that cannot be are refused by their number, with what was wanted.
func TestReadingsThatCannotBe(t *testing.T) {
	p := prop.Porthole() // 144 pixels, 5 V
	good := Reading{Level: 0.5, Pixel: 3, Volts: 4.9}
	for want, bad := range map[string]Reading{
		"reading 2 is at pixel 145, but the prop has 144 pixels": {Level: 0.5, Pixel: 144, Volts: 4.9}, "reading 2 is at pixel 0, but": {Level: 0.5, Pixel: -1, Volts: 4.9},
		"reading 2 was taken at level 1.01: give 0 to 1": {Level: 1.01, Volts: 4.9}, "reading 2 was taken at level -0.1": {Level: -0.1, Volts: 4.9},
		"reading 2 is 10.1 V, which a supply of 5 V cannot give": {Level: 0.5, Volts: 10.1}, "reading 2 is -0.1 V": {Level: 0.5, Volts: -0.1}, "reading 2 is NaN V": {Level: 0.5, Volts: math.NaN()},
		"reading 2 has a current of -1 A": {Level: 0.5, Volts: 4.9, Amps: -1}, "reading 2 has a current of 10000 A": {Level: 0.5, Volts: 4.9, Amps: 1e4},
	} {
		_, err := newFitter(p, []Reading{good, bad})
		assert.ErrorContains(t, err, want)
		_, err = Planned(p, []Reading{good, bad})
		assert.ErrorContains(t, err, want)
	}
	for _, ok := range []Reading{{Level: 0, Pixel: 143, Volts: 10}, {Level: 1, Volts: 0, Amps: 9999}} {
		_, err := newFitter(p, []Reading{good, ok})
		assert.NoError(t, err)
	}
	volts, err := Planned(p, []Reading{{Level: 0.5, Pixel: 3}, {Level: 0.5, Pixel: 100}, {Level: 0.1, Pixel: 3}})
	require.NoError(t, err)
	half, tenth := planned(t, p, 0.5), planned(t, p, 0.1)
	assert.InDeltaSlice(t, []float64{half.Sagging.Volts(3), half.Sagging.Volts(100), tenth.Sagging.Volts(3)}, volts, 0.02, "whole values go out")
	for lit, want := range map[int]FitVerdict{2: FitTooFew, 3: FitGood} {
		var readings []Reading
		for i := range 5 {
			r := Reading{Pixel: 40 * (i % 3)}
			if i < lit {
				r.Level = 0.2
			}
			readings = append(readings, r)
		}
		volts, err := Planned(p, readings)
		require.NoError(t, err)
		for i := range readings {
			readings[i].Volts = volts[i]
		}
		r, err := Fit(p, readings)
		require.NoError(t, err)
		assert.Equal(t, want, r.Verdict, "%d lit: %s", lit, r.Text)
	}
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
		s.only(at)
		best := s.lowest()
		for j, from := range at {
			for _, to := range []int{from - 1, from + 1} {
				if to < 0 || to >= pixels || slices.Contains(at, to) {
					continue
				}
				moved := slices.Clone(at)
				moved[j] = to
				s.only(moved)
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
	small, err := CheckFuse(prop.Feed{WireMetre: 1, Wire: prop.Wire{AWG: 14}, FuseAmps: 0.5}, prop.Supply{Volts: 5, Amps: 100}, 4, 20)
	require.NoError(t, err)
	assert.Contains(t, small.Sentences("F")[0], "F: the 0.5 A fuse is too small for 4.0 A")
	p := prop.Porthole()
	assert.Equal(t, Good, planned(t, p, 0.1).Joints[0].Lead)
	for i := range p.Runs {
		p.Runs[i].LeadIn, p.Runs[i].LeadOut = 0, 0
	}
	assert.Equal(t, NotChecked, planned(t, p, 0.1).Joints[0].Lead, "there is no lead to check")
}

// Where bars, marks and numbers stand in a chart, counted by hand: twenty
// pixels in ten columns, two to a column.
func TestWhereThingsStandInAChart(t *testing.T) {
	r := &Report{Pixels: 20, starts: []int{0, 7, 14}, MinVolts: 4, supply: 5, Feeds: []FeedReport{{Pixel: 0}, {Pixel: 9}, {Pixel: 19}}}
	assert.Equal(t, 10, r.columns(17))
	assert.Equal(t, 20, r.columns(99))
	assert.Equal(t, 1, r.columns(3))
	first, end := r.column(4, 10)
	assert.Equal(t, [2]int{8, 10}, [2]int{first, end})
	first, end = r.column(39, 40)
	assert.Equal(t, [2]int{19, 20}, [2]int{first, end}, "a column shows one pixel at least")
	assert.Equal(t, "       ^   ^    ^", r.feedLine(10, '^'))
	assert.Equal(t, "       1  8    20", r.numberLine(10), "15 would touch 20")
	assert.Equal(t, "       1      8      15  20", r.numberLine(20))
	assert.Equal(t, "       20", r.numberLine(2))
	s := &Solution{Plus: make([]float64, 20), Minus: make([]float64, 20)}
	for i := range s.Plus {
		s.Plus[i], s.Minus[i] = 5-0.1*float64(i), 0.01*float64(i)
	}
	for c, low := range r.lows(s, 10) {
		assert.InDelta(t, 5-0.11*float64(2*c+1), low, 1e-9, "the lowest of two")
	}
	m := chartMarks{[]rune(" _#"), 's', '-', '^'}
	for _, row := range []struct {
		bar, sag float64
		want     rune
	}{{3.8, 3.8, '#'}, {3.75, 3.9, '#'}, {3.74, 3.9, '_'}, {3.25, 3.3, '_'}, {3.24, 3.3, '-'}, {2, 2.1, '-'}, {2, 3.1, 's'}, {3.3, 3.56, 's'}, {3.3, 3.54, '_'}, {2, 4, '-'}, {5, 9, '#'}} {
		assert.Equal(t, string(row.want), string(m.cell(3, row.bar, row.sag, 3)), "%+v", row)
	}
	assert.Equal(t, " ", string(m.cell(2, 1, 1, 3)))
	for cell, want := range map[int]string{9: " 5.00 V", 4: " 4.00 V", 0: " 3.50 V", 3: "       "} {
		assert.Equal(t, want, chartLabel(cell, 10, 4, 5, 4, 3.5))
	}
}
