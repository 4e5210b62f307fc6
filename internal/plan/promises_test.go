package plan

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// oneLine replaces all white space of a text by single spaces.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// runsOf is a prop of n runs of ten pixels with the given leads between them; the last
// lead is used for all further runs.
func runsOf(n int, leads ...string) string {
	text := strings.Replace(line("WS2812B", 10, "1 m"), "[supply]", "density = \"60 per metre\"\n[supply]", 1)
	for i := range n - 1 {
		text += fmt.Sprintf("[[run]]\nname = \"%c\"\npixels = 10\nlead_in = %q\n", 'b'+i, leads[min(i, len(leads)-1)])
	}
	return text
}

// The heat of up to twelve runs is listed; further runs are counted.
func TestHeatOfManyRuns(t *testing.T) {
	for n, want := range map[int]string{12: "", 14: "and 2 more runs"} {
		text := planOf(t, runsOf(n, "10 cm")).Text(100)
		_, heat, _ := strings.Cut(text, "\nHeat at level")
		heat, _, _ = strings.Cut(heat, "\n\n")
		assert.Equal(t, 12, strings.Count(heat, " W a metre"), "%d runs", n)
		if want == "" {
			assert.NotContains(t, heat, "more runs")
		} else {
			assert.Contains(t, heat, want)
		}
	}
	// 60 pixels of 61 mA at 5 V on a metre: 18.3 W; 29 K warmer, see TestHeat.
	text := oneLine(planOf(t, runsOf(1)).Text(200))
	assert.Contains(t, text, "a: 3.1 W, 18.3 W a metre; some 29 °C warmer than the air in a closed tube of 20 mm")
}

// By hand, from the tables: more than 35 K over the air is too warm. With 61 mA at 5 V
// and pi x 0.02 x 10 W per metre and kelvin, that is from 72.1 pixels a metre on.
func TestHotTubesAreWarnedOf(t *testing.T) {
	for density, want := range map[string]bool{"72 per metre": false, "74 per metre": true} {
		text := strings.Replace(line("WS2812B", 100, "1 m"), "[supply]", "density = \""+density+"\"\n[supply]", 1)
		assert.Equal(t, want, strings.Contains(oneLine(planOf(t, text).Text(100)), "More than 35 °C over the air is too warm"), density)
	}
	// Pixels of an empty part take only their idle current.
	p := prop.Porthole()
	p.Parts = []prop.Part{{Name: "hole", First: 40, Last: 43, Empty: true}}
	pl, err := For(p, 1, power.FullWhite())
	require.NoError(t, err)
	assert.InDelta(t, 36*0.061*5, pl.Heat[0].Watts, 1e-9)
	assert.InDelta(t, (44*0.061+4*0.001)*5, pl.Heat[1].Watts, 1e-9)
}

// A chip that the table does not have is timed with the usual 800 kHz and a
// reset of 300 µs. By hand: 100 x 24 x 1.25 µs + 300 µs = 3.3 ms.
func TestUnknownChipIsTimedAsUsual(t *testing.T) {
	p := parse(t, line("WS2812B", 100, "1 m"))
	p.Chip.Name = "no such chip"
	pl, err := For(p, 1, power.FullWhite())
	require.NoError(t, err)
	assert.False(t, pl.Data.Known)
	assert.InDelta(t, 3.3e-3, pl.Data.Frame, 1e-12)
	assert.Contains(t, oneLine(pl.Text(100)), "from memory")
	assert.True(t, planOf(t, line("WS2812B", 100, "1 m")).Data.Known)
}

// Clocked chips, by their format documents: 32 zeros before, 32 bits a pixel, half a
// bit a pixel after. The clock wire needs the same care as the data wire.
func TestClockedFrame(t *testing.T) {
	k, ok := prop.KnownByName("APA102")
	require.True(t, ok)
	for _, n := range []int{1, 100, 1000} {
		bits := 32 + 32*float64(n) + float64(n)/2
		assert.InDelta(t, 1e-6*(bits*k.Data.BitMicros+k.Data.ResetMicros), frameTime(k.Chip, k.Data, n), 1e-15)
	}
	pl := planOf(t, line("APA102", 100, "1 m"))
	assert.Contains(t, strings.Join(pl.Data.Says, "\n"), "Data and clock run side by side")
	assert.Contains(t, oneLine(pl.Text(100)), fmt.Sprintf("32 bits a pixel and the frame around them at %.4g MHz", 1/k.Data.BitMicros))
	assert.NotContains(t, strings.Join(planOf(t, line("WS2812B", 100, "1 m")).Data.Says, "\n"), "clock")
}

// A string too long for the stream's rate is divided among the fewest outputs that
// reach it. WS2812B: 755 pixels at 44 Hz, by hand (1/44 - 50 µs)/30 µs.
func TestOutputsForTheRate(t *testing.T) {
	for pixels, outputs := range map[int]int{750: 0, 755: 0, 756: 2, 1510: 2, 1511: 3} {
		said := strings.Join(planOf(t, line("WS2812B", pixels, "1 m")).Data.Says, "\n")
		if outputs == 0 {
			assert.NotContains(t, said, "outputs", "%d pixels", pixels)
		} else {
			assert.Contains(t, said, fmt.Sprintf("put at most 755 on an output: %d outputs, each", outputs), "%d pixels", pixels)
		}
	}
}

// The lead to the first pixel may be plain up to 3 m and with a driver up to 10 m. Both
// limits are inclusive.
func TestLeadLimits(t *testing.T) {
	for lead, want := range map[string]string{"3 m": "", "3.01 m": "wants three things", "10 m": "wants three things", "10.01 m": "too long for a bare data wire"} {
		said := strings.Join(planOf(t, line("WS2812B", 10, lead)).Data.Says, "\n")
		for _, s := range []string{"wants three things", "too long for a bare data wire"} {
			assert.Equal(t, s == want, strings.Contains(said, s), "%s: %s", lead, s)
		}
	}
}

// A data input needs 0.7 of its supply (datasheet): 3.3 V are too low for a supply of 5
// V, which needs 3.5 V, and enough up to 3.3/0.7 = 4.71 V.
func TestLevelOfTheDataWire(t *testing.T) {
	said := func(chip, volts string) string {
		text := strings.Replace(line(chip, 10, "1 m"), "amps =", "volts = \""+volts+"\"\namps =", 1)
		return strings.Join(planOf(t, text).Data.Says, "\n")
	}
	assert.Contains(t, said("WS2812B", "5 V"), "takes a one from 3.50 V (0.7 of its 5 V). An output of 3.3 V is short of that")
	assert.Contains(t, said("WS2812B", "4.8 V"), "takes a one from 3.36 V")
	assert.NotContains(t, said("WS2812B", "4.7 V"), "level shifter")
	assert.Contains(t, said("WS2815", "12 V"), "runs from 5 V made inside: it takes a one from 3.50 V")
	assert.NotContains(t, said("WS2815", "12 V"), "of its")
}

// A lead between runs needs a repeater every 3 m: by hand, none for 3 m, one pixel for
// 6 m, two for 6.1 m. The longest lead is named, the others are counted.
func TestSignalIsRepeatedOnLongLeads(t *testing.T) {
	said := func(leads ...string) string {
		return strings.Join(planOf(t, runsOf(len(leads)+1, leads...)).Data.Says, "\n")
	}
	assert.NotContains(t, said("3 m"), "repeating")
	assert.Contains(t, said("3.1 m"), "3.1 m apart from a to b: the signal wants repeating every 3 m; 1 pixel on the way")
	assert.Contains(t, said("6 m"), "; 1 pixel on the way")
	assert.Contains(t, said("6.1 m"), "; 2 pixels on the way")
	assert.Contains(t, said("4 m", "7 m"), "7 m apart from b to c, and 1 more joint is so: ")
	assert.Contains(t, said("7 m", "4 m", "4 m", "1 m"), "7 m apart from a to b, and 2 more joints are so: ")
	assert.Equal(t, 1, strings.Count(said("7 m", "4 m", "4 m"), "repeating"), "one sentence for all")
}

// Text, JSON and report have the same figures in every section.
func TestTextHasTheReportsFigures(t *testing.T) {
	p := prop.Porthole()
	pl, err := For(p, 1, power.FullWhite())
	require.NoError(t, err)
	text, r := oneLine(pl.Text(100)), pl.Power
	require.NotEmpty(t, r.Supplies)
	for i, s := range r.Supplies {
		assert.Contains(t, text, fmt.Sprintf("supply %d: pixels %d to %d, %.1f A; %s at ", i+1, s.First+1, s.Last+1, s.Amps, s.Feeds[0].Name))
	}
	assert.Contains(t, text, fmt.Sprintf("lowest voltage %s at %s at worst, likely about %s.", words.Volts(r.Constant.Lowest), power.PlaceName(p, r.Constant.At), words.Volts(r.Sagging.Lowest)))
	assert.Contains(t, text, "at the bench's start level of 20 %: ")
	assert.InDelta(t, 0.2, pl.Start.Level, 1e-12)
	// 10 A and four fifths of it for hours on end; a pixel takes 61 mA.
	assert.Contains(t, text, "A of a supply that gives 8.0 A for hours on end (10 A x 80 %); 0.14 A dark; one pixel 61.0 mA")
	assert.Contains(t, text, "Power at level 100 %")
	assert.Contains(t, text, "Voltage along the pixels")
	for i, f := range r.Feeds {
		assert.Contains(t, text, fmt.Sprintf("%s, at %s, %s: %.1f A (likely about %.1f A), %.2f V lost", f.Name, f.Place, f.Wire, f.Amps, f.Sagging, f.Drop))
		assert.Equal(t, 100*pl.Power.HoldLevel, pl.JSON().Power.HoldLevel)
		assert.Equal(t, f.Pixel+1, pl.JSON().Power.Feeds[i].Pixel)
	}
	assert.Contains(t, text, "1 universe on this output, 44 packets a second at 44 Hz")
	one := planOf(t, line("WS2812B", 1, "1 m")).Text(100)
	assert.NotContains(t, one, "Voltage along the pixels", "one pixel has no along")
	assert.Contains(t, planOf(t, line("WS2812B", 2, "1 m")).Text(100), "Voltage along the pixels")
	assert.Contains(t, one, "in 1 run\n")
	low, err := pl.At(0.2)
	require.NoError(t, err)
	if level := power.FloorPercent(r.HoldSagging); level > 0 {
		assert.Contains(t, text, fmt.Sprintf("(likely about %d %%)", level))
	} else {
		assert.NotContains(t, text, "%)\n")
	}
	assert.Contains(t, low.Text(100), "Power at level 20 %")
}

// The text gives no lowest voltage if even one pixel is without supply.
func TestLowestVoltageOnlyWhereThereIsOne(t *testing.T) {
	pl := planOf(t, line("WS2812B", 10, "1 m"))
	assert.Contains(t, pl.Text(100), "  - lowest voltage")
	r := *pl.Power
	c := *r.Constant
	c.Dead = 1
	r.Constant, pl.Power = &c, &r
	assert.NotContains(t, pl.Text(100), "  - lowest voltage")
}

// The counts from lengths name the number in the file only where it differs.
func TestCountsThatDiffer(t *testing.T) {
	pl, err := For(parse(t, fourRings), 1, power.FullWhite())
	require.NoError(t, err)
	assert.NotContains(t, pl.Text(100), "the file says")
	p := *pl.Prop
	p.Runs = append([]prop.Run(nil), p.Runs...)
	p.Runs[1].Pixels++
	other, err := For(&p, 1, power.FullWhite())
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(other.Text(100), "the file says"))
	assert.Contains(t, oneLine(other.Text(200)), fmt.Sprintf("; the file says %d", p.Runs[1].Pixels))
}

// Rings are nested when they share a centre, and there are two of them at
// least; the gap is the difference of their radii.
func TestNestedRings(t *testing.T) {
	pl, err := For(parse(t, fourRings), 1, power.FullWhite())
	require.NoError(t, err)
	text := oneLine(pl.Text(200))
	for i, n := range pl.Nest {
		assert.Equal(t, i, n.Run, "outermost first")
		assert.InDelta(t, math.Pi*n.Diameter, n.Around, 1e-9)
		gap := 0.0
		if i+1 < len(pl.Nest) {
			gap = (n.Diameter - pl.Nest[i+1].Diameter) / 2
		}
		assert.InDelta(t, gap, n.Gap, 1e-9)
	}
	assert.Equal(t, 3, strings.Count(text, "to the next ring in"), "the innermost has none")
	assert.Equal(t, 8, strings.Count(text[strings.Index(text, "mark and drill at"):strings.Index(text, "then solder:")], "("))
	one := strings.SplitAfter(fourRings, `length = "93 in"`)[0]
	for text, nested := range map[string]bool{one: false, one + "\n[[run]]\nname = \"b\"\nshape = \"ring\"\nlength = \"50 in\"\n": true,
		one + "\n[[run]]\nname = \"b\"\nshape = \"ring\"\nlength = \"50 in\"\ncentre = \"3 m, 0 m\"\n": false} {
		pl := planOf(t, text)
		assert.Equal(t, nested, len(pl.Nest) == 2)
		assert.Equal(t, nested, strings.Contains(pl.Text(100), "Drill: nested rings"))
		assert.Equal(t, nested, len(pl.Backbone) > 0)
	}
	small := strings.Replace(one, "93 in", "50 in", 1) + "\n[[run]]\nname = \"b\"\nshape = \"ring\"\nlength = \"93 in\"\n"
	assert.Equal(t, 1, planOf(t, small).Nest[0].Run, "the larger is outermost, wherever it stands in the file")
}

// Every reel is listed with its pieces and its rest, and the text says whether fewer
// reels could do.
func TestCutsInWords(t *testing.T) {
	text := oneLine(planOf(t, fourRings).Text(200))
	assert.Contains(t, text, "Cut: strip")
	assert.NotContains(t, text, "Cut: tube")
	assert.Contains(t, text, "reel 1: ")
	assert.Contains(t, text, "; no plan needs fewer reels.")
	pl := planOf(t, fourRings)
	cuts := *pl.Strip
	cuts.Proven, cuts.AtLeast = false, 1
	pl.Strip = &cuts
	assert.Contains(t, oneLine(pl.Text(200)), "at least 1 are needed whatever the plan; fewer than this might do")
	coil := planOf(t, strings.Replace(fourRings, "reel = \"25 ft\"", "reel = \"25 ft\"\ncoil = \"100 in\"", 1))
	require.NotNil(t, coil.Coil)
	assert.Contains(t, oneLine(coil.Text(200)), "4 coils of 100 in; ", "by hand: no two of 93, 81.5, 69 and 56.5 in make 100 in")
	assert.Contains(t, oneLine(coil.Text(200)), "coil 4: ")
	none := planOf(t, strings.ReplaceAll(strings.Replace(fourRings, "reel = \"25 ft\"", "reel = \"10 in\"", 1), "length = \"93 in\"", "length = \"93 in\""))
	assert.Empty(t, none.Strip.Reels)
	assert.NotContains(t, none.Text(200), "no plan needs fewer", "nothing fits a reel")
}

// The table of wires is as wide as its longest place, so that all arrows are in one
// column. A lead without a length in the file is marked.
func TestWiresInColumns(t *testing.T) {
	text := planOf(t, runsOf(3, "10 cm")).Text(120)
	at := -1
	for l := range strings.Lines(text) {
		before, _, ok := strings.Cut(l, "  →  ")
		if !ok {
			continue
		}
		n := len([]rune(before))
		if at >= 0 {
			assert.Equal(t, at, n, l)
		}
		at = n
	}
	require.Positive(t, at)
	assert.Contains(t, text, "J2 a to b: 3 wires of 10 cm")
	assert.Contains(t, text, "J3 b to c: ")
	bare := line("WS2812B", 10, "1 m") + "[[run]]\nname = \"b\"\npixels = 4\n"
	assert.Contains(t, planOf(t, bare).Text(120), "J2 a to b: 3 wires, no length in the file")
	pl := planOf(t, runsOf(2, "10 cm"))
	pl.Prop.Runs[1].Closed = true
	assert.Contains(t, pl.Text(200), "b is closed: power off, then join plus and ground of its end to those of its start; never the data (run 2)")
}

// A paragraph breaks at spaces, is never wider than the width unless one word is, and
// has as many words per line as fit; a last line under a third takes some from the one before.
func TestParagraphsFillTheLine(t *testing.T) {
	for width := 12; width < 40; width++ {
		w := &writer{width: width}
		w.item("%s", "a bb ccc dddd é̂éé ff ggg hhhh ii j kk lll")
		lines := strings.Split(strings.TrimSuffix(w.String(), "\n"), "\n")
		for i, l := range lines {
			assert.LessOrEqual(t, len([]rune(l)), width, l)
			if i > 0 {
				assert.True(t, strings.HasPrefix(l, "    ") && l[4] != ' ', l)
				first, rest, _ := strings.Cut(strings.TrimSpace(l), " ")
				if i == len(lines)-1 && (3*len([]rune(rest)) < width-4 || !strings.Contains(rest, " ")) {
					continue // it was under a third or a word alone without its first word
				}
				assert.Greater(t, len([]rune(lines[i-1]))+1+len([]rune(first)), width, "%q would have fitted above", first)
			}
		}
		assert.True(t, strings.HasPrefix(lines[0], "  - a"))
	}
	units := &writer{width: 20}
	units.item("a rail of 5.00 V is cut at 80 cm; then on")
	assert.NotRegexp(t, `\d\n`, units.String(), "a figure stays with its unit")
	w := &writer{width: 4}
	w.item("wide words")
	assert.Equal(t, "  - wide\n    words\n", w.String())
	assert.Equal(t, planOf(t, fourRings).Text(40), planOf(t, fourRings).Text(1), "40 columns at least")
	assert.Equal(t, planOf(t, fourRings).Counts(24), planOf(t, fourRings).Counts(1), "24 columns beside other things")
}

// The slots of a row and its collisions, by hand: the row uses universe 2 from slot
// 500, all of 3, and 4 up to slot 8.
func TestSlotsOfARow(t *testing.T) {
	r := prop.Row{FirstUniverse: 2, FirstSlot: 500, LastUniverse: 4, LastSlot: 8}
	for u, want := range map[int][2]int{1: {513, 0}, 2: {500, 512}, 3: {1, 512}, 4: {1, 8}, 5: {513, 0}} {
		assert.Equal(t, want, [2]int{firstSlotIn(r, u), lastSlotIn(r, u)}, "universe %d", u)
	}
	s := PropSet{Collisions: []Collision{
		{Props: [2]string{"A", "B"}, Universe: 2, From: 490, To: 500, of: prop.Collision{A: 0, B: 1}},
		{Props: [2]string{"A", "C"}, Universe: 4, From: 8, To: 20, Maybe: true, of: prop.Collision{A: 0, B: 2}},
		{Props: [2]string{"B", "C"}, Universe: 3, From: 1, To: 9, of: prop.Collision{A: 1, B: 2}},
		{Props: [2]string{"A", "D"}, Universe: 4, From: 9, To: 20, of: prop.Collision{A: 0, B: 3}},
	}}
	assert.Equal(t, "B U2 S500-500; maybe C U4 S8-8", s.collidesWith(r, 0))
	assert.Equal(t, "A U2 S500-500; C U3 S1-9", s.collidesWith(r, 1))
	assert.Equal(t, "maybe A U4 S8-8; B U3 S1-9", s.collidesWith(r, 2))
}

func TestTogetherInWords(t *testing.T) {
	a, b := prop.Porthole(), prop.Porthole()
	b.Name, b.Address.Slot = "Porthole copy", 400
	text := oneLine(Together([]*prop.Prop{a, b}).Text(200))
	assert.Contains(t, text, "collision: ")
	assert.NotContains(t, text, "possible collision")
	assert.NotContains(t, text, "no two props")
	free := Together([]*prop.Prop{a})
	text = oneLine(free.Text(200))
	assert.Contains(t, text, "no two props use the same slot of the same host")
	// 144 pixels of 3 slots are 432, so slot 433 is next.
	assert.Contains(t, text, "144 pixels, 432 slots in universe 1 (Porthole); next free U1 S433, next empty universe 2")
	free.Hosts[0].NextUniverse = 0
	assert.Contains(t, free.Text(200), "no universe is left")
	free.Hosts[0].NextUniverse = 1
	assert.NotContains(t, free.Text(200), "no universe is left")
	maybe := PropSet{Collisions: []Collision{{Maybe: true, Text: "x"}}}
	assert.Contains(t, maybe.Text(80), "possible collision: x")
	assert.False(t, maybe.Collide())
	for want, ns := range map[string][]int{"": nil, "7": {7}, "1-2": {1, 2}, "1, 3": {1, 3}, "1-3, 7, 9-10": {1, 2, 3, 7, 9, 10}} {
		assert.Equal(t, want, ranges(ns))
	}
}

// Each universe in use is listed once, in order, also where runs share one or one run
// spans several.
func TestUniversesInUse(t *testing.T) {
	pl := planOf(t, line("WS2812B", 170, "1 m")+"[[run]]\nname = \"b\"\npixels = 341\n")
	assert.Equal(t, []int{1, 2, 3, 4}, pl.universes())
	assert.Equal(t, 4*44, pl.Data.Packets)
	assert.Equal(t, []int{1}, planOf(t, runsOf(3, "1 m")).universes())
}

// Little heat is still printed as watts a metre, and with one feed the controller's
// lead already has no plus.
func TestSmallFiguresAreSaid(t *testing.T) {
	pl := planOf(t, runsOf(1))
	low, err := pl.At(0.02)
	require.NoError(t, err)
	// 60 pixels a metre of 1 mA and 2 % of 60 mA, at 5 V: 0.66 W.
	assert.Contains(t, oneLine(low.Text(200)), "0.7 W a metre")
	one := planOf(t, line("WS2812B", 10, "1 m")+"[[feed]]\nat = 1\nlength = \"1 m\"\nwire = \"18 AWG\"\n")
	assert.Equal(t, "data of the controller", one.Wiring[0].From, "no plus")
	short := planOf(t, strings.Replace(fourRings, "reel = \"25 ft\"", "reel = \"25 ft\"\ncoil = \"30 in\"", 1))
	require.NotNil(t, short.Coil)
	assert.Len(t, short.Coil.TooLong, 4, "30 in hold none of the rings")
}

// The route of the file is kept unless replace is true.
func TestARouteIsReplacedOnlyWhenAsked(t *testing.T) {
	_, d := laid(t)
	_, kept, err := LayString(d, false)
	require.NoError(t, err)
	assert.Same(t, d, kept)
	_, other, err := LayString(d, true)
	require.NoError(t, err)
	assert.NotSame(t, d, other)
}
