package power

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

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
	text := strings.Join(r.bandText(p), " ")
	assert.Contains(t, text, "mine differ. At full a channel draws 12.5 mA to 17.5 mA, dark a pixel 0.6 mA to 1.1 mA. Single figures here are for 18.5 mA.")
	assert.Contains(t, text, "If every pixel keeps its full current, the prop draws 2.0 to 4.0 A; the supply is judged by 0.90 A. Real strip draws less as its voltage falls: 1.9 to 3.5 A. The lowest voltage is 4.20 V to 4.80 V at full current; 4.40 V to 4.90 V in real strip. It holds up to level 30 to 50 %.")
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
	return deadResult(p, []Reading{{Pixel: 0, Volts: 0, Level: none}, {Pixel: 0, Volts: 4.9, Level: some}, {Pixel: 9, Volts: 4.9, Level: some}})
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
