package power

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// A solution that is large enough is used again without an allocation.
func TestASolutionIsUsedAgain(t *testing.T) {
	n := chain(50, 5, 0.01, 0.02, tap(0, 0.1), tap(40, 0.1))
	l, err := NewLadder(n)
	require.NoError(t, err)
	amps := make([]float64, 50)
	s := l.Constant(nil, amps)
	assert.Zero(t, testing.AllocsPerRun(20, func() { s = l.Constant(s, amps) }))
	short, err := NewLadder(chain(20, 5, 0.01, 0.02, tap(0, 0.1)))
	require.NoError(t, err)
	assert.Zero(t, testing.AllocsPerRun(20, func() { s = short.Constant(s, amps[:20]) }), "a shorter prop too")
	assert.Len(t, s.Plus, 20)
	assert.Len(t, s.Taps, 1)
	assert.Zero(t, testing.AllocsPerRun(20, func() { s = l.Constant(s, amps) }), "and the longer one again")
	assert.Len(t, s.Amps, 50)
	s.Plus[49], s.Minus[0], s.Minus[49], s.Amps[0] = 1, 2, 3, 4
	assert.Equal(t, []float64{1, 2, 3, 4}, []float64{s.Plus[49], s.Minus[0], s.Minus[49], s.Amps[0]}, "rows of their own")
}

// A step that goes too far is cut: every rail and every pixel is then the same part of the
// way, and the pixels' currents are those at their new voltage.
func TestAPartOfAStep(t *testing.T) {
	n := chain(4, 5, 0.1, 0.3, tap(0, 0.1))
	l, err := NewLadder(n)
	require.NoError(t, err)
	draws := sameDraws(4, Draw{0.001, 0.5, 0.7})
	w := l.work(4)
	w.start(l, draws, LawOf(prop.Chip{Volts: 5}))
	w.solve(l)
	w.evaluate(l, draws)
	u, x, v := append([]float64(nil), w.u1...), append([]float64(nil), w.x1...), append([]float64(nil), w.v1...)
	w.shorten(l, draws, 0.25)
	for i := range draws {
		assert.InDelta(t, u[i]/4, w.u1[i], 1e-12, "from 0 V below the supply")
		assert.InDelta(t, x[i]/4, w.x1[i], 1e-12)
		assert.InDelta(t, 5+(v[i]-5)/4, w.v1[i], 1e-12)
		assert.InDelta(t, 5-w.u1[i]+w.x1[i], w.v1[i], 1e-12)
		amps, slope := w.law.Amps(draws[i], w.v1[i])
		assert.Equal(t, []float64{amps, slope}, []float64{w.now1[i], w.cond1[i]})
	}
}

// Readings are taken as they are: one above the plan's supply by no more than a meter's
// error is not called too high, however low the others are.
func TestAReadingIsTooHighAboveThePlanOnly(t *testing.T) {
	p := prop.Porthole()
	for i := range p.Runs {
		p.Runs[i].Pixels = 3
	}
	p.Parts, p.Feeds = nil, p.Feeds[:1]
	low := *p
	low.Supply.Volts = 4.8
	for volts, want := range map[float64]bool{4.97: false, 5.03: false, 5.05: true} {
		var readings []Reading
		for _, at := range []int{0, 2, 3, 5, 6, 8} {
			readings = append(readings, Reading{Level: 0.5, Pixel: at})
		}
		real, err := Planned(&low, readings)
		require.NoError(t, err)
		for i := range readings {
			readings[i].Volts = real[i]
		}
		readings[2].Volts = volts
		f, err := newFitter(p, readings)
		require.NoError(t, err)
		r, err := f.tooHigh(p, FitResult{Noise: 0.02, Left: 0.1, ownNoise: 0.01, Text: "As before."})
		require.NoError(t, err)
		assert.Equal(t, want, strings.Contains(r.Text, "is more than the supply gives: 4."), "%g V: %s", volts, r.Text)
	}
}

// Places with several readings at one level only say nothing of a slope over the level.
func TestScatterNeedsLevels(t *testing.T) {
	f := &fitter{noise: meterVolts, readings: []Reading{{Pixel: 4, Level: 0.5}, {Pixel: 4, Level: 0.5}, {Pixel: 4, Level: 0.5}}}
	sum, free := f.scatter(caseFit{residuals: []float64{3, -1, 5}})
	assert.Equal(t, []float64{0, 0}, []float64{sum, float64(free)})
	for i := range f.readings {
		f.readings[i].Level = float64(i) / 2
	}
	sum, free = f.scatter(caseFit{residuals: []float64{3, -1, 5}})
	assert.InDelta(t, 3.0*3+1+5*5-7.0*7/3-2, sum, 1e-9, "about the line 7/3 + 2·(level - 1/2): squares less mean less slope")
	assert.Equal(t, 1, free)
}

// Up to twelve feeds have a figure each for their contacts; more share one.
func TestFiguresOfFeeds(t *testing.T) {
	for taps, want := range map[int]int{1: 1, 2: 2, 12: 12, 13: 1, 40: 1} {
		f := &fitter{base: &Network{Taps: make([]Tap, taps)}}
		assert.Equal(t, want, f.feedFigures(), "%d feeds", taps)
		assert.Equal(t, 3+want, f.figures(), "supply, draw and rails too")
		plan, wide := f.planned()
		assert.Len(t, plan, 4+want)
		assert.Len(t, wide, 4+want)
	}
}

// What may be is listed until nineteen of twenty cases are in it, one place at least.
func TestShortListEndsWhereItIsSure(t *testing.T) {
	list := func(nothing float64, weights ...float64) string {
		r := &FitResult{Nothing: nothing, Noise: meterVolts, ownNoise: meterVolts, Allowed: 0.5}
		for i, w := range weights {
			r.Suspects = append(r.Suspects, Suspect{Name: fmt.Sprint("J", i+1), Weight: w, Cost: 1})
		}
		return r.shortList()
	}
	assert.Equal(t, "it may be J1", list(0, 0.96, 0.04))
	assert.Equal(t, "it may be J1, or J2", list(0, 0.94, 0.03, 0.03))
	assert.Equal(t, "it may be J1, or J2", list(0.05, 0.5, 0.41, 0.04))
	assert.Equal(t, "it may be J1, or J2, or J3", list(0.01, 0.5, 0.43, 0.06))
	assert.Equal(t, "it may be J1", list(0.96, 0.04))
	// A place that is sure but has no ohms too many is no fault that was found.
	none := &FitResult{Suspects: []Suspect{{Name: "J1", Weight: 0.97, Cost: 0.2}}, Allowed: 0.5, Noise: meterVolts, ownNoise: meterVolts}
	none.setVerdict()
	assert.Equal(t, FitCantTell, none.Verdict)
	bare := &FitResult{Nothing: 1, Noise: meterVolts, ownNoise: meterVolts}
	bare.setVerdict()
	assert.Equal(t, FitGood, bare.Verdict, "nothing suspected is nothing wrong")
}

// A joint right after the first pixel is named where voltage ends there.
func TestVoltageEndsAfterTheFirstPixel(t *testing.T) {
	p := prop.Porthole()
	p.Feeds = p.Feeds[:1]
	p.Runs[0].Pixels = 1
	r, ok := deadResult(p, []Reading{{Pixel: 0, Volts: 4.9, Level: 0.2}, {Pixel: 1, Level: 0.2}, {Pixel: 48, Level: 0.2}})
	require.True(t, ok)
	require.Len(t, r.Suspects, 1)
	assert.Equal(t, 1, r.Suspects[0].Run)
	assert.Contains(t, r.Text, `after the joint between "inner ring" and "middle ring"`)
}

// What a feed refuses has no resistance; a feed without wire has none either.
func TestOhmsOfAFeed(t *testing.T) {
	for _, f := range []prop.Feed{{WireMetre: -1, Wire: prop.Wire{AWG: 18}}, {WireMetre: 1, FuseAmps: -1, Wire: prop.Wire{AWG: 18}}, {WireMetre: 1}} {
		ohms, err := feedOhms(f, 20)
		require.Error(t, err, "%+v", f)
		assert.Zero(t, ohms)
	}
	none, err := OhmsPerMetre(prop.Wire{}, 20)
	require.Error(t, err)
	assert.Zero(t, none)
	ohms, err := feedOhms(prop.Feed{}, 20)
	require.NoError(t, err)
	assert.Zero(t, ohms)
	ohms, err = feedOhms(prop.Feed{WireMetre: 3, Wire: prop.Wire{MM2: 0.75}}, 20)
	require.NoError(t, err)
	assert.InDelta(t, 3*0.026, ohms, 1e-12)
}

// The limits of a plan hold for any chip, also for one of 1 V or less; one whose voltage
// is not known is not judged.
func TestLimitsOfSmallChips(t *testing.T) {
	p := prop.Porthole()
	p.Chip.Volts, p.Chip.MinVolts = 0.9, 0.8
	p.Supply.Volts = 1
	said := strings.Join(planned(t, p, 0.01).Findings, "\n")
	assert.Contains(t, said, "made for 0.9 V: that can destroy every pixel")
	p.Chip.Volts = 0
	assert.NotContains(t, strings.Join(planned(t, p, 0.01).Findings, "\n"), "destroy")
	r := planned(t, p, 1)
	require.True(t, r.Extra.Possible)
	require.NotEmpty(t, r.Extra.Pixels, "0.8 V is a limit like any other")
	assert.GreaterOrEqual(t, r.Extra.Lowest, 0.8)
	p.Chip.MinVolts = 0
	assert.Equal(t, Placement{}, planned(t, p, 1).Extra, "nothing to hold")
}

// The level that holds in the sagging model is 1 exactly where full level holds.
func TestHoldSaggingAtFullLevel(t *testing.T) {
	for _, ohms := range []float64{0.01, 0.3, 0.4, 1, 3} {
		l, err := NewLadder(chain(3, 5, 0.02, 0.02, tap(0, ohms)))
		require.NoError(t, err)
		law, full := LawOf(prop.Chip{Volts: 5}), sameDraws(3, Draw{0.001, 0.1, 0.2})
		level, err := l.HoldLevelSagging(full, law, 4.5)
		require.NoError(t, err)
		at := func(level float64) float64 {
			s, err := l.Sagging(nil, sameDraws(3, Draw{0.001, 0.1 * level, 0.2 * level}), law)
			require.NoError(t, err)
			return s.Lowest
		}
		assert.Equal(t, at(1) >= 4.5, level == 1, "%g ohms", ohms)
		if level < 1 {
			assert.GreaterOrEqual(t, at(level), 4.5)
			assert.Less(t, at(level+1e-3), 4.5, "to a thousandth")
		}
		assert.LessOrEqual(t, l.HoldLevel(full, 4.5), level+1e-3)
	}
}

// Without any current every pixel has the supply's voltage to the last bit: it holds there
// at any level, and the first pixel is the one that is named.
func TestNoCurrentNoDrop(t *testing.T) {
	l, err := NewLadder(chain(5, 5, 0.1, 0.1, tap(2, 0.1)))
	require.NoError(t, err)
	s := l.Constant(nil, make([]float64, 5))
	assert.Equal(t, []float64{5, 0}, []float64{s.Lowest, float64(s.At)})
	s, err = l.Sagging(s, make([]Draw, 5), LawOf(prop.Chip{Volts: 5}))
	require.NoError(t, err)
	assert.Equal(t, 1, s.Rounds, "nothing moves in the first")
	assert.Zero(t, l.Constant(s, make([]float64, 5)).Rounds, "constant current takes none")
	assert.Equal(t, []float64{1, 0}, []float64{l.HoldLevel(make([]Draw, 5), 5), l.HoldLevel(make([]Draw, 5), math.Nextafter(5, 6))})
	level, err := l.HoldLevelSagging(make([]Draw, 5), LawOf(prop.Chip{Volts: 5}), 5)
	require.NoError(t, err)
	assert.Equal(t, 1.0, level)
	assert.Zero(t, l.HoldLevel(sameDraws(5, Draw{Red: 0.01}), 5), "any light is too much")
}

// A fit keeps to figures that copper can have: no supply below a tenth of its volts, no
// draw or rails below a twentieth of the plan's, no resistance below zero.
func TestAFitKeepsToPossibleFigures(t *testing.T) {
	p := prop.Porthole()
	f, err := newFitter(p, []Reading{{Pixel: 40, Level: 0.5}, {Pixel: 143, Level: 0.2}})
	require.NoError(t, err)
	with := func(figure int, value float64, s *Suspect) []float64 {
		x, _ := f.planned()
		x[figure] = value
		got, err := f.predict(x, s)
		require.NoError(t, err)
		return got
	}
	joint, feed := jointOf(p, 1), Suspect{Feed: 1}
	extra := f.figures()
	for _, row := range []struct {
		figure      int
		least, then float64
		s           *Suspect
	}{{supplyVolts, 0.5, 0.6, nil}, {drawShare, 0.05, 0.06, nil}, {railShare, 0.05, 0.06, nil}, {extra, -1, 0, &joint}, {extra, -5, 0, &feed}} {
		assert.Equal(t, with(row.figure, row.least, row.s), with(row.figure, row.least-1, row.s), "figure %d", row.figure)
		assert.NotEqual(t, with(row.figure, row.least, row.s), with(row.figure, row.then, row.s), "figure %d", row.figure)
	}
	assert.Equal(t, Rails{0.5, 0}, Rails{0.75, 0.125}.more(-0.25))
	assert.Equal(t, Rails{1.75, 1.125}, Rails{0.75, 0.125}.more(1))
}

// Where there is no room for a chart its one line names the lowest pixel, counted from 1.
func TestAChartWithoutRoom(t *testing.T) {
	r := planned(t, prop.Porthole(), 1)
	want := fmt.Sprintf("lowest %s at pixel %d", words.Volts(r.Constant.Lowest), r.Constant.At+1)
	assert.Equal(t, 143, r.Constant.At, "the far end")
	assert.Equal(t, []string{want}, r.Chart(80, 4))
	assert.Equal(t, []string{want[:16]}, r.Chart(16, 20))
	assert.Len(t, r.Chart(80, 5), 5, "two rows are a chart")
	assert.Len(t, r.Chart(17, 20), 20)
}

// Numbers below a chart are those of the first pixel of a run, each below its column, and
// of the last pixel at the right; none touches another.
func TestNumbersBelowAChart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := &Report{}
		for range rapid.IntRange(1, 8).Draw(t, "runs") {
			r.starts = append(r.starts, r.Pixels)
			r.Pixels += rapid.IntRange(1, 400).Draw(t, "pixels")
		}
		n := min(r.Pixels, rapid.IntRange(8, 80).Draw(t, "columns"))
		line := r.numberLine(n)
		last := fmt.Sprint(r.Pixels)
		if n < len(last)+2 {
			return
		}
		require.Len(t, line, chartLeft+n)
		require.True(t, strings.HasSuffix(line, last))
		at := map[string]int{}
		for _, first := range r.starts {
			at[fmt.Sprint(first+1)] = chartLeft + first*n/r.Pixels
		}
		free := chartLeft
		for _, first := range r.starts {
			text, where := fmt.Sprint(first+1), at[fmt.Sprint(first+1)]
			if where >= free && where+len(text) < len(line)-len(last) {
				require.Equal(t, text, line[where:where+len(text)], "%q has room for it", line)
				free = where + len(text) + 1
			}
		}
		col := 0
		for _, text := range strings.Fields(line[:len(line)-len(last)]) {
			where := col + strings.Index(line[col:], text)
			require.Contains(t, at, text, "%q", line)
			require.Equal(t, at[text], where, "%q", line)
			require.Less(t, where+len(text), len(line)-len(last), "%q: a blank before the last", line)
			col = where + len(text)
		}
		if n-len(last) > 2 {
			require.Equal(t, byte('1'), line[chartLeft], "the first run has room")
		}
	})
}

// Feeds are taken in the order of the wiring, however they are listed; feeds at one pixel
// stay together, and a feed that is too much by itself has no group.
func TestFeedsAreGroupedInOrder(t *testing.T) {
	feeds := []FeedReport{{Pixel: 0, Amps: 3}, {Pixel: 20, Amps: 3}, {Pixel: 20, Amps: 2}, {Pixel: 50, Amps: 4}, {Pixel: 90, Amps: 1}}
	want := []feedGroup{{0, 0, 3}, {20, 20, 5}, {50, 90, 5}}
	rapid.Check(t, func(t *rapid.T) {
		require.Equal(t, want, groupFeeds(rapid.Permutation(feeds).Draw(t, "order"), 6))
	})
	assert.Nil(t, groupFeeds(feeds, 4.9))
	assert.Equal(t, []feedGroup{{0, 20, 8}, {50, 90, 5}}, groupFeeds(feeds, 8))
	r := &Report{starts: []int{0, 20, 50}}
	assert.Equal(t, []int{50, 20, 48, 22}, []int{r.startNear(48, 21, 50), r.startNear(22, 20, 60), r.startNear(48, 21, 49), r.startNear(22, 21, 49)}, "within bounds, both of them too")
}
