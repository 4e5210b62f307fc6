package checkout

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// The places at which answers may change, by hand: of a prop of 40 pixels in
// runs of 25 and 15, its two ends and where "one to three pixels" begins and ends
// there; around every end of a stretch or run, around a pixel asked for and
// around what no one looks at, the place itself, its neighbours, and four to
// either side.
func TestPlacesAtWhichAnswersChange(t *testing.T) {
	f := &field{pixels: 40, sizes: []int{25, 15}, firsts: []int{0, 25}}
	around := func(ats ...int) []int {
		out := []int{0, 1, 2, 3, 4, 36, 37, 38, 39, 40}
		for _, at := range append(ats, 0, 25) {
			out = append(out, at-4, at-1, at, at+1, at+4)
		}
		out = slices.DeleteFunc(out, func(e int) bool { return e < 0 || e > 40 })
		slices.Sort(out)
		return slices.Compact(out)
	}
	two := Paint{{HueRed, 10}, {HueBlue, 30}}
	assert.Equal(t, around(10), f.edges(&Spec{Kind: AskBefore, Paint: two}))
	assert.Equal(t, around(10, 16), f.edges(&Spec{Kind: AskBefore, Paint: Paint{{HueRed, 10}, {HueBlue, 6}, {HueRed, 24}}}))
	assert.Equal(t, around(10, 12), f.edges(&Spec{Kind: AskPlace, Paint: two, Pixel: 12}))
	assert.Equal(t, around(10, 39), f.edges(&Spec{Kind: AskPlace, Paint: two, Run: 1, Pixel: -1}))
	assert.Equal(t, around(10, 19), f.edges(&Spec{Kind: AskPlace, Paint: two, Run: 0, Pixel: -6}))
	assert.Equal(t, around(10), f.edges(&Spec{Kind: AskEven, Paint: two, Pixel: 12}), "no pixel is asked for")
	f.dark = make([]bool, 40)
	f.dark[18], f.dark[19] = true, true
	assert.Equal(t, around(10, 18, 20), f.edges(&Spec{Kind: AskBefore, Paint: two}))
	// Of a picture to compare with, where a length may be off: eight drawn may be
	// three to thirteen, five more or fewer.
	f.dark = nil
	for _, e := range f.edges(&Spec{Kind: AskConfirm, Paint: two, Expected: []Paint{{{HueRed, 8}, {HueBlue, 17}}, {{HueRed, 15}}}}) {
		assert.True(t, e >= 0 && e <= 40)
	}
	near := slackEdges(nil, 20, 5)
	slices.Sort(near)
	assert.Equal(t, []int{13, 14, 15, 16, 19, 20, 21, 24, 25, 26, 27}, slices.Compact(near), "the end of a stretch, and that of one five shorter or longer")
}

// What a family shows at a place is found by its neighbours only where that is
// the same: held against running each hypothesis by itself, on props of which
// some places are not looked at, for pictures as they are proposed.
func TestRowsOfPropsWithEmptyParts(t *testing.T) {
	p := sign()
	f, err := newField(p, nil)
	require.NoError(t, err)
	require.NotNil(t, f.dark)
	q := &proposer{f: f}
	q.plain()
	q.opening()
	for i, spec := range q.out {
		if i%3 == 0 {
			exact(t, f, spec)
		}
	}
}

// Where nothing is thought to light, the look that is asked for sends the most
// channels that were in none so far, one at least.
func TestAnyLightIsLookedFor(t *testing.T) {
	look := func(order prop.Order, sent ...Hue) *choice {
		p := single("S", 9)
		p.Chip.Order = order
		s, err := New(p, Options{})
		require.NoError(t, err)
		for _, h := range sent {
			s.steps = append(s.steps, step{spec: Spec{Kind: AskEven, Base: h, Paint: even(h, 9)}, answers: []Token{SeesNone, SeesElse}})
		}
		return (&confirmer{s: s}).darkLook()
	}
	for _, row := range []struct {
		order prop.Order
		sent  []Hue
		want  Hue // none when all were sent
	}{
		{"GRB", nil, HueWhite}, {"GRB", []Hue{HueRed}, HueWhite}, {"GRB", []Hue{HueRed, HueGreen}, HueWhite}, {"GRB", []Hue{HueRed, HueGreen, HueBlue}, ""}, {"GRB", []Hue{HueYellow, HueCyan}, ""},
		{"GRBW", []Hue{HueRed, HueGreen, HueBlue}, HueWarm}, {"GRBW", []Hue{HueRed, HueGreen}, HueWhite}, {"GRBW", []Hue{HueWhite}, HueWarm}, {"GRBW", []Hue{HueWhite, HueWarm}, ""}, {"GRBW", []Hue{HueWarm}, HueWhite},
		{"RGBWC", []Hue{HueWhite, HueWarm}, HueCool},
	} {
		c := look(row.order, row.sent...)
		if row.want == "" {
			assert.Nil(t, c, "%s after %v", row.order, row.sent)
			continue
		}
		if assert.NotNil(t, c, "%s after %v", row.order, row.sent) {
			assert.Equal(t, row.want, c.spec.Base, "%s after %v", row.order, row.sent)
			assert.Equal(t, AskEven, c.spec.Kind)
			assert.Equal(t, questions[AskEven].answers, c.answers)
		}
	}
}

// A fall of voltage is firm where one a quarter stronger or weaker is answered
// alike, by running both.
func TestFirmStrengths(t *testing.T) {
	f, err := newField(single("S", 60), nil)
	require.NoError(t, err)
	firm := map[bool]int{}
	for _, spec := range []*Spec{{Kind: AskFade, Paint: even(HueWhite, 60), Level: f.bright}, {Kind: AskEven, Paint: even(HueWhite, 60), Level: f.bright, Base: HueWhite}, {Kind: AskPlace, Paint: even(HueWhite, 60), Level: f.bright, Pixel: 40}} {
		for i := range f.hyps {
			h := &f.hyps[i]
			if !h.sag {
				continue
			}
			var w, v watcher
			w.watch(f, spec)
			v.watch(f, spec)
			answer := func(n int) Token {
				return v.sees(f.stripOf(&hypothesis{faults: []strip.Fault{{Kind: strip.Sag, N: n}}}))
			}
			n := h.faults[0].N
			own := answer(n)
			want := own == answer(n*4/5) && own == answer(n*5/4)
			got := w.sameWithOtherSag(h, own)
			assert.Equal(t, want, got, "%d milliohms: %s", n, spec.Kind)
			firm[got]++
			assert.False(t, w.sameWithOtherSag(h, SeesSparkles))
		}
	}
	assert.NotZero(t, firm[true])
	assert.NotZero(t, firm[false])
}

// A picture to compare with is alike as far as each length may be off: its own,
// and those of the stretches before and after it.
func TestEdgesOfPicturesToCompareWith(t *testing.T) {
	f := &field{pixels: 200, sizes: []int{100, 100}, firsts: []int{0, 100}}
	p := Paint{{HueRed, 4}, {HueBlue, 20}, {HueGreen, 60}, {HueWhite, 16}}
	got := f.alikeEdges(nil, 1, p)
	at := 100
	for i, st := range p {
		for j := max(0, i-1); j <= min(len(p)-1, i+1); j++ {
			room := 3 + p[j].Pixels/4
			for _, end := range []int{at, at + st.Pixels} {
				for off := -1; off <= 1; off++ {
					assert.Contains(t, got, end-room+off, "stretch %d by stretch %d", i, j)
					assert.Contains(t, got, end+room+off, "stretch %d by stretch %d", i, j)
					assert.Contains(t, got, end+off)
				}
			}
		}
		at += st.Pixels
	}
	for _, e := range got {
		assert.True(t, e >= 100-20 && e <= 200+20, "%d lies near the run", e)
	}
}

// In a picture that is to confirm a fault, its pixel is white, the one before it
// green and the one after it blue, as far as there are such; all else stays.
func TestMarksOfFaults(t *testing.T) {
	for at := range 6 {
		pt := newPainter(6, HueRed)
		c := &confirmer{h: &hypothesis{faults: []strip.Fault{{Kind: strip.NoSupply}, {Kind: strip.DeadPixel, Pixel: at}}}}
		got := c.marked(pt, HueWarm)
		for i, h := range got {
			want := HueRed
			switch i - at {
			case -1:
				want = HueGreen
			case 0:
				want = HueWarm
			case 1:
				want = HueBlue
			}
			assert.Equal(t, want, h, "pixel %d of a fault at %d", i, at)
			assert.Equal(t, HueRed, pt[i], "the picture itself stays")
		}
	}
}
