package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// The frame of a probe is its picture at its level; lights as a camera reads
// them are answered as by eyes, but for questions about change; and when the
// check-out is done there is neither.
func TestAnswersOfACamera(t *testing.T) {
	p := ringProp("small", 3, 2)
	s, err := New(p, Options{})
	require.NoError(t, err)
	st, err := strip.New(p, strip.Fault{Kind: strip.DeadPixel, Pixel: 3})
	require.NoError(t, err)
	var b builder
	asked := 0
	for pr, ok := s.Next(); ok; pr, ok = s.Next() {
		want := pr.Show(nil, 5, 0)
		for i, c := range want {
			want[i] = patterns.Colour{R: uint8(float64(c.R)*pr.Level + 0.5), G: uint8(float64(c.G)*pr.Level + 0.5), B: uint8(float64(c.B)*pr.Level + 0.5), W: uint8(float64(c.W)*pr.Level + 0.5)}
		}
		require.Equal(t, want, s.Sent())
		given := key(s.field, &pr, st, &b)
		light := st.Shine(s.Sent())
		if k := pr.Spec.Kind; k == AskSteady || k == AskFade || k == AskStaysLit {
			require.Equal(t, NotSure, s.KeyFor(light), "a still picture shows no change")
		} else {
			asked++
			require.Equal(t, given, s.KeyFor(light), "%s", pr.Question)
		}
		require.Equal(t, NotSure, s.KeyFor(light[:1]), "lights of another prop")
		for seed := range uint64(6) { // lights of which no one thinks now
			other, err := strip.New(p, strip.Random(p, seed))
			require.NoError(t, err)
			if k := pr.Spec.Kind; k != AskSteady && k != AskFade && k != AskStaysLit && !other.Flickers() && !other.Sags() {
				require.Equal(t, key(s.field, &pr, other, &b), s.KeyFor(other.Shine(s.Sent())), "%v: %s", other.Faults(), pr.Question)
			}
		}
		require.NoError(t, s.Answer(given))
	}
	require.Greater(t, asked, 2)
	require.Nil(t, s.Sent())
	require.Equal(t, NotSure, s.KeyFor(st.Shine(nil)))
}

// Which probes ask for a pixel of which the builder could not tell.
func TestPixelsNotSeen(t *testing.T) {
	place := Spec{Kind: AskPlace, Run: 1, Pixel: 2}
	s := &Session{steps: []step{{spec: place, given: -1}, {spec: Spec{Kind: AskPlace, Run: 0, Pixel: 2}, given: 1}, {spec: Spec{Kind: AskEven, Run: 0, Pixel: 5}, given: -1}, {spec: Spec{Kind: AskPlace, Run: 0, Pixel: 7}, given: 0}}}
	for spec, want := range map[*Spec]bool{{Kind: AskPlace, Run: 1, Pixel: 2, Level: 0.5}: true, {Kind: AskPlace, Run: 1, Pixel: 3}: false, {Kind: AskPlace, Run: 0, Pixel: 2}: false, {Kind: AskPlace, Run: 0, Pixel: 5}: false, {Kind: AskPlace, Run: 0, Pixel: 7}: false, {Kind: AskEven, Run: 1, Pixel: 2}: false} {
		assert.Equal(t, want, s.unseen(spec), "%+v", spec)
	}
	none := &Session{}
	assert.True(t, none.nothingLit(), "nothing was seen yet")
	dark := step{answers: []Token{SeesAll, SeesNone}, given: 1}
	lit, unsure := dark, dark
	lit.given, unsure.given = 0, -1
	for want, steps := range map[bool][]step{true: {dark, dark}, false: {dark, lit}} {
		assert.Equal(t, want, (&Session{steps: steps}).nothingLit())
	}
	assert.False(t, (&Session{steps: []step{dark, unsure}}).nothingLit(), "who was not sure did not say that it is dark")
}

// Where faults outside the list differ from a sound prop: the first pixel of the fault, its
// run, from it to the end of the run and of the prop, from the run on, and all;
// each once.
func TestPlacesOfStrangers(t *testing.T) {
	p := ringProp("T", 3, 4, 2)
	f, err := newField(p, nil)
	require.NoError(t, err)
	span := func(first, last int) prop.Span { return prop.Span{First: first, Last: last} }
	for _, row := range []struct {
		ft   strip.Fault
		want []prop.Span
	}{
		{strip.Fault{Kind: strip.DeadPixel, Pixel: 4}, []prop.Span{span(4, 4), span(3, 6), span(4, 6), span(4, 8), span(3, 8), span(0, 8)}},
		{strip.Fault{Kind: strip.DeadPixel, Pixel: 3}, []prop.Span{span(3, 3), span(3, 6), span(3, 8), span(0, 8)}},
		{strip.Fault{Kind: strip.DeadPixel, Pixel: 8}, []prop.Span{span(8, 8), span(7, 8), span(0, 8)}},
		{strip.Fault{Kind: strip.RunMirrored, Run: 1}, []prop.Span{span(3, 3), span(3, 6), span(3, 8), span(0, 8)}},
		{strip.Fault{Kind: strip.NoSupply}, []prop.Span{span(0, 8)}},
	} {
		assert.Equal(t, row.want, f.unlistedPlaces(&hypothesis{faults: []strip.Fault{row.ft}}), "%v", row.ft)
	}
}

// A single place is set off from its neighbours; several are painted in bands
// that begin at a place, or at the pixel before it, and the other way round
// where the picture was shown before.
func TestBandsOfPlaces(t *testing.T) {
	f, err := newField(single("S", 12), nil)
	require.NoError(t, err)
	fam := &family{name: "x"}
	banded := func(shift int, hues []Hue, used map[string]bool, places ...int) Paint {
		p := &proposer{f: f, used: used}
		var at []spotShare
		for _, x := range places {
			at = append(at, spotShare{x, 1})
		}
		p.banded(AskBefore, at, shift, hues, fam)
		if len(p.out) == 0 {
			return nil
		}
		require.Len(t, p.out, 1)
		return p.out[0].Paint
	}
	assert.Equal(t, Paint{{HueRed, 7}, {HueGreen, 1}, {HueBlue, 4}}, banded(0, bandHues, nil, 7), "the place alone")
	assert.Equal(t, Paint{{HueRed, 6}, {HueGreen, 1}, {HueBlue, 5}}, banded(-1, bandHues, nil, 7), "the pixel before it alone")
	assert.Equal(t, Paint{{HueRed, 5}, {HueGreen, 7}}, banded(0, bandHues[:2], nil, 2, 5))
	assert.Equal(t, Paint{{HueRed, 4}, {HueGreen, 8}}, banded(-1, bandHues[:2], nil, 2, 5))
	assert.Equal(t, Paint{{HueRed, 3}, {HueGreen, 3}, {HueBlue, 6}}, banded(0, bandHues[:3], nil, 1, 3, 6))
}

// What keeps all data away may be many things beside what lights all the same:
// every one that leaves all dark alone and not beside it.
func TestWhatMayKeepDataAway(t *testing.T) {
	f, err := newField(ringProp("T", 3, 2), nil)
	require.NoError(t, err)
	black := printOfFaults(t, f, strip.Fault{Kind: strip.NoSupply})
	lit := strip.Fault{Kind: strip.StuckOn, Pixel: 1}
	var want [][]strip.Fault
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.sound() || h.moreAfter || printOfFaults(t, f, h.faults...) != black {
			continue
		}
		if _, err := f.sound.With(h.faults[0], lit); err == nil && printOfFaults(t, f, h.faults[0], lit) != black {
			want = append(want, []strip.Fault{h.faults[0], lit})
		}
	}
	require.NotEmpty(t, want)
	assert.ElementsMatch(t, want, f.noDataPairs(lit))
	assert.ElementsMatch(t, want, f.sameLook([]strip.Fault{f.hyps[f.noData].faults[0], lit}))
	dead := []strip.Fault{{Kind: strip.DeadPixel, Pixel: 2}}
	assert.Equal(t, [][]strip.Fault{dead}, f.sameLook(dead))
}

// The colour of one pixel is that of the light there, at every place of every
// run, from either end, and dark where there is no such pixel.
func TestPlacesAskedFor(t *testing.T) {
	p := ringProp("T", 4, 1, 3)
	f, err := newField(p, nil)
	require.NoError(t, err)
	pt := newPainter(8, HueDark)
	for i := range pt {
		pt[i] = []Hue{HueRed, HueGreen, HueBlue}[i%3]
	}
	for _, faults := range [][]strip.Fault{nil, {{Kind: strip.DeadPixel, Pixel: 4}}, {{Kind: strip.RunMirrored, Run: 2}}, {{Kind: strip.Count, Run: 0, N: -1}}, {{Kind: strip.Count, Run: 2, N: 1}}, {{Kind: strip.Sag, N: 500}}} {
		st, err := strip.New(p, faults...)
		require.NoError(t, err)
		for run := range 3 {
			for pixel := -5; pixel < 6; pixel++ {
				var w watcher
				w.watch(f, &Spec{Kind: AskPlace, Paint: pt.paint(), Level: 1, Run: run, Pixel: pixel})
				row := st.Shine(w.frame)[run]
				at, want := pixel, Dark
				if at < 0 {
					at += len(row)
				}
				if at >= 0 && at < len(row) {
					want = NameOf(row[at])
				}
				assert.Equal(t, Token(want), w.sees(st), "%v: pixel %d of run %d", faults, pixel, run)
			}
		}
	}
}

// Every token is read back as it is written, and nothing else is one.
func TestTokensAreReadBack(t *testing.T) {
	var all []Token
	for tok := Token(Dark); tok <= Token(White); tok++ {
		all = append(all, tok)
	}
	for tok := SeesAll; tok <= SeesElse; tok++ {
		all = append(all, tok)
	}
	for r := range Token(40) {
		all = append(all, seesRun+r)
	}
	for a := Dark; a <= White; a++ {
		all = append(all, sequenceToken([]Name{a, Red}, false), sequenceToken([]Name{Red, a, Green}, true), sequenceToken([]Name{Blue, Green, a}, false))
	}
	words := map[string]Token{}
	for _, tok := range all {
		text := tok.String()
		require.NotEmpty(t, text)
		if o, ok := words[text]; ok {
			require.Equal(t, o, tok, "%q", text)
		}
		words[text] = tok
		got, err := ParseToken(text)
		require.NoError(t, err, text)
		require.Equal(t, tok, got, text)
	}
	assert.Equal(t, []string{"run-1", "run-2", "dark", "white"}, []string{seesRun.String(), (seesRun + 1).String(), Token(Dark).String(), Token(White).String()})
	for _, bad := range []string{"", "run-0", "run-", "run-961", "run--1", "pink", "red,pink", "red,green,blue,red", "more", "red,,blue"} {
		_, err := ParseToken(bad)
		assert.Error(t, err, "%q", bad)
	}
	_, err := ParseToken("run-960")
	assert.NoError(t, err)
	assert.True(t, Token(White).Colour())
	assert.False(t, SeesAll.Colour())
	assert.Equal(t, "w", Token(White).Letter())
	assert.Empty(t, SeesAll.Letter())
}

// A look at one spot has what may drive it painted in groups: those before the
// first, and so on, by the spot that is meant.
func TestASpotInGroups(t *testing.T) {
	f, err := newField(single("S", 10), nil)
	require.NoError(t, err)
	p := &proposer{f: f, share: []float64{0.5, 0.5}}
	drives := []int{9, 2, 9, 6} // of two hypotheses: pixel 9 drives the first spot, 2 or 6 the second
	p.spot(spot{0, -1}, drives, 1, 2)
	require.Len(t, p.out, 1)
	assert.Equal(t, Paint{{HueRed, 6}, {HueGreen, 4}}, p.out[0].Paint)
	assert.Equal(t, []any{AskPlace, 0, -1}, []any{p.out[0].Kind, p.out[0].Run, p.out[0].Pixel})
	p.out = nil
	p.spot(spot{0, 0}, drives, 0, 2)
	require.Len(t, p.out, 1)
	assert.Equal(t, Paint{{HueRed, 10}}, p.out[0].Paint)
	p.out = nil
	p.spot(spot{0, 0}, []int{-1, 0, -1, 0}, 0, 2)
	assert.Empty(t, p.out, "nothing drives it")
	for pixels, want := range map[int]int{1: 6, 2: 12, 3: 13} { // both ends in three colours; neighbours in three; thirds
		f, err := newField(single("S", pixels), nil)
		require.NoError(t, err)
		p := &proposer{f: f}
		p.opening()
		assert.Len(t, proposedOf(p, AskPlace, AskSequence), want, "%d pixels", pixels)
	}
}
