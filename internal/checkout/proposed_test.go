package checkout

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// The levels of a check-out, by hand: as bright as the supply carries with all
// white, four fifths at most, a twentieth at least, and a fifth as a rule.
func TestLevelsOfProbes(t *testing.T) {
	p := single("S", 100)
	p.Chip.IdleAmps, p.Chip.ChannelAmps, p.Chip.Order = 0.001, 0.020, "GRB"
	for amps, want := range map[float64][2]float64{
		0:    {0.2, 0.8},                         // no supply given
		10:   {0.2, 0.8},                         // 8 A less 0.1 A over 6 A: more than four fifths
		5:    {0.2, (4 - 0.1) / 6},               // 4 A less what idles, over 100 times 60 mA
		1:    {(0.8 - 0.1) / 6, (0.8 - 0.1) / 6}, // darker than a fifth
		0.2:  {0.05, 0.05},
		0.01: {0.05, 0.05},
	} {
		p.Supply.Amps, p.Supply.Continuous = amps, 0.8
		ordinary, bright := levels(p)
		assert.InDelta(t, want[0], ordinary, 1e-9, "%g A", amps)
		assert.InDelta(t, want[1], bright, 1e-9, "%g A", amps)
	}
	assert.Equal(t, patterns.Colour{R: 51, G: 1, B: 0, W: 26}, dim(patterns.Colour{R: 255, G: 3, B: 2, W: 128}, 0.2), "to the nearest")
}

// Where to walk: five pixels to either side of what the answers point at, by
// most of them; the whole prop where none does.
func TestWhereToWalk(t *testing.T) {
	f := &field{pixels: 30, sizes: []int{12, 3, 15}, firsts: []int{0, 12, 15}}
	walk := func(steps ...step) prop.Span {
		s := &Session{field: f, steps: steps, used: map[string]bool{}}
		for i := range steps {
			s.used[steps[i].spec.key()] = true
		}
		return s.walk()
	}
	run := func(r int) step {
		return step{spec: Spec{Kind: AskRuns, Level: float64(r+1) / 10}, answers: []Token{SeesAsDrawn, seesRun + Token(r)}, given: 1}
	}
	assert.Equal(t, prop.Span{First: 0, Last: 29}, walk())
	assert.Equal(t, prop.Span{First: 7, Last: 19}, walk(run(1)))
	assert.Equal(t, prop.Span{First: 0, Last: 16}, walk(run(0)))
	assert.Equal(t, prop.Span{First: 10, Last: 29}, walk(run(2)))
	over, not := run(1), run(1)
	not.spec.Again, not.given = true, 0
	assert.Equal(t, prop.Span{First: 0, Last: 29}, walk(over, not), "the later answer counts")
	unsure := run(1)
	unsure.given = -1
	assert.Equal(t, prop.Span{First: 0, Last: 29}, walk(unsure))
	after := step{spec: Spec{Kind: AskBefore, Paint: Paint{{HueRed, 13}, {HueBlue, 17}}}, answers: []Token{Token(Red), SeesElse}, given: 0}
	assert.Equal(t, prop.Span{First: 7, Last: 18}, walk(run(1), after), "both point at pixels 13 and 14")
	again := run(0)
	again.spec.Again = true
	assert.Equal(t, prop.Span{First: 0, Last: 16}, walk(run(0), again), "a question asked once more counts once")
}

// Where what is open lies on the drawing, by the scope of the fault.
func TestWhereTheOpenLies(t *testing.T) {
	p := ringProp("T", 5, 6)
	f, err := newField(p, nil)
	require.NoError(t, err)
	lay := func(f *field, ft strip.Fault) (whole float64, runs []float64, pixels []int) {
		o := Open{Pixels: make([]float64, f.pixels), Run: make([]float64, len(f.sizes))}
		f.addShare(&o, ft, 0.5)
		for i, x := range o.Pixels {
			if x > 0 {
				pixels = append(pixels, i)
			}
		}
		return o.Whole, o.Run, pixels
	}
	for _, row := range []struct {
		ft     strip.Fault
		whole  float64
		runs   []float64
		pixels []int
	}{
		{strip.Fault{Kind: strip.NoSupply}, 0.5, []float64{0, 0}, nil}, {strip.Fault{Kind: strip.RunMirrored, Run: 1}, 0, []float64{0, 0.5}, nil}, {strip.Fault{Kind: strip.RunsSwapped, Run2: 1}, 0, []float64{0.5, 0.5}, nil},
		{strip.Fault{Kind: strip.DeadPixel, Pixel: 7}, 0, []float64{0, 0}, []int{7}}, {strip.Fault{Kind: strip.OpenJoint, Pixel: 0}, 0, []float64{0, 0}, []int{0}}, {strip.Fault{Kind: strip.WrongOrder, Order: "RGB"}, 0.5, []float64{0, 0}, nil},
		{strip.Fault{Kind: strip.WrongOrder, Pixel: 1, Order: "RGB"}, 0, []float64{0, 0}, []int{1}},
	} {
		whole, runs, pixels := lay(f, row.ft)
		assert.Equal(t, []any{row.whole, row.runs, row.pixels}, []any{whole, runs, pixels}, "%v", row.ft)
	}
	bulb, err := newField(single("one", 1), nil)
	require.NoError(t, err)
	whole, _, pixels := lay(bulb, strip.Fault{Kind: strip.DeadPixel})
	assert.Zero(t, whole)
	assert.Equal(t, []int{0}, pixels, "a prop of one pixel has a place all the same")
}

// proposedOf are the proposed probes of these kinds.
func proposedOf(p *proposer, kinds ...Kind) (out []*Spec) {
	for _, s := range p.out {
		if slices.Contains(kinds, s.Kind) {
			out = append(out, s)
		}
	}
	return out
}

// Pictures that are always proposed: thirds of the prop, and one pixel beside
// the first or the last.
func TestPicturesThatAreProposed(t *testing.T) {
	for n, want := range map[int][]int{3: {1, 1, 1}, 4: {1, 1, 2}, 5: {1, 2, 2}, 9: {3, 3, 3}, 11: {3, 4, 4}} {
		f, err := newField(single("S", n), nil)
		require.NoError(t, err)
		p := &proposer{f: f}
		p.thirds()
		thirds := proposedOf(p, AskSequence)
		require.Len(t, thirds, 1)
		assert.Equal(t, Paint{{HueRed, want[0]}, {HueGreen, want[1]}, {HueBlue, want[2]}}, thirds[0].Paint, "%d", n)
		p.out = nil
		p.neighbour()
		p.out = proposedOf(p, AskPlace)
		require.Len(t, p.out, 6)
		for i, h := range []Hue{HueRed, HueGreen, HueBlue} {
			first, last := p.out[2*i], p.out[2*i+1]
			for at, c := range first.Paint.frame(nil, n) {
				assert.Equal(t, at == 1, c == h.Colour(), "%d of %d", at, n)
			}
			for at, c := range last.Paint.frame(nil, n) {
				assert.Equal(t, at == n-2, c == h.Colour(), "%d of %d", at, n)
			}
			assert.Equal(t, []int{0, -1}, []int{first.Pixel, last.Pixel})
		}
	}
	two, err := newField(single("S", 2), nil)
	require.NoError(t, err)
	p := &proposer{f: two}
	p.thirds()
	assert.Empty(t, p.out)
	count := func(pixels int) map[Kind]int {
		f, err := newField(single("S", pixels), nil)
		require.NoError(t, err)
		by := map[Kind]int{}
		for _, s := range (&proposer{f: f}).plain() {
			by[s.Kind]++
			if s.Kind == AskFade {
				assert.Equal(t, f.bright, s.Level)
			} else {
				assert.Equal(t, f.level, s.Level)
			}
		}
		return by
	}
	assert.Equal(t, map[Kind]int{AskEven: 3, AskSteady: 1}, count(1))
	assert.Equal(t, map[Kind]int{AskEven: 3, AskSteady: 1, AskRuns: 1, AskFade: 1}, count(2))
}

// Entropy is Shannon's, of what drives a spot.
func TestEntropyOfASpot(t *testing.T) {
	p := &proposer{share: []float64{0.5, 0.25, 0.125, 0.125}}
	drives := []int{0, 9, 1, 9, 2, 9, -1, 9} // two spots
	assert.InDelta(t, 1.75, p.entropy(drives, 0, 2), 1e-12)
	assert.Zero(t, p.entropy(drives, 1, 2))
	p.share = []float64{0.5, 0.5, 0, 0}
	assert.InDelta(t, 1, p.entropy(drives, 0, 2), 1e-12)
}

// What a white of its own lacks shows in no other light: marks on it part the places of
// a fault of one pixel and of one from a pixel on. Of other colours bands part the second.
func TestMarksForWhatWhiteAloneShows(t *testing.T) {
	rings := ringProp("rgbw rings", 24, 16, 20)
	rings.Chip.Order = "GRBW"
	f, err := newField(rings, nil)
	require.NoError(t, err)
	marked := func(ch patterns.Channel, scope strip.Scope) bool {
		i := slices.IndexFunc(f.families, func(fam family) bool {
			return fam.placed && !fam.moreAfter && fam.faults[0].Kind == strip.DeadChannel && fam.faults[0].Channel == ch
		})
		require.GreaterOrEqual(t, i, 0)
		fam, p := f.families[i], &proposer{f: f, hyps: f.hyps}
		fam.facts.Scope = scope
		var at []int
		for h := fam.from; h < fam.to; h++ {
			at, p.live, p.share = append(at, len(at)), append(p.live, h), append(p.share, 1)
		}
		p.family(&fam, &f.marks[i], at)
		return len(proposedOf(p, AskMark)) > 0
	}
	assert.True(t, marked(patterns.White, strip.AtPixel))
	assert.True(t, marked(patterns.White, strip.ChipsFrom))
	assert.True(t, marked(patterns.Red, strip.AtPixel))
	assert.False(t, marked(patterns.Red, strip.ChipsFrom))
}
