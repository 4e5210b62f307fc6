package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// lookOf is the look of runs of named lights.
func lookOf(runs ...[]Name) *look {
	var l look
	for _, run := range runs {
		first := len(l.all)
		l.runAt = append(l.runAt, first)
		for _, n := range run {
			l.add(strip.Piece{Colour: n.hue().Colour(), Lights: 1}, first)
		}
	}
	l.runAt = append(l.runAt, len(l.all))
	return &l
}

// The walks along data and picture, by hand, as the page on JSON lines says
// them: stretch by stretch whatever their lengths, equal neighbours joined across
// the ends of runs.
func TestWalksAlongTheData(t *testing.T) {
	red, blue := []Name{Red, Red}, []Name{Blue, Blue}
	for name, row := range map[string]struct {
		got, want         [][]Name
		before, odd, mark Token
	}{
		"as drawn":           {[][]Name{red, blue}, [][]Name{red, blue}, SeesAsDrawn, SeesAsDrawn, SeesAsDrawn},
		"other lengths":      {[][]Name{{Red}, {Blue, Blue, Blue}}, [][]Name{red, blue}, SeesAsDrawn, SeesAsDrawn, SeesAsDrawn},
		"joined across ends": {[][]Name{{Red, Red, Blue}, {Blue}}, [][]Name{red, blue}, SeesAsDrawn, SeesAsDrawn, SeesAsDrawn},
		"the first is odd":   {[][]Name{{Green}, blue}, [][]Name{red, blue}, SeesFirst, Token(Green), SeesFirst},
		"the second is odd":  {[][]Name{red, {Green}}, [][]Name{red, blue}, Token(Red), Token(Green), SeesFirst},
		"the third is odd":   {[][]Name{red, blue, {Dark}}, [][]Name{red, blue, red}, Token(Blue), Token(Dark), Token(Blue)},
		"it ends early":      {[][]Name{red, blue}, [][]Name{red, blue, red}, Token(Blue), SeesMissing, Token(Blue)},
		"nothing is there":   {[][]Name{{}, {}}, [][]Name{red, blue}, SeesFirst, SeesMissing, SeesFirst},
		"it goes on":         {[][]Name{red, blue, {Green}}, [][]Name{red, blue}, Token(Blue), Token(Green), Token(Blue)},
		"a mark before":      {[][]Name{{Red, Blue, Red, Green, Red}}, [][]Name{{Red, Blue, Red, Yellow, Red}}, Token(Red), Token(Green), Token(Blue)},
	} {
		see := &sight{look: lookOf(row.got...), wanted: lookOf(row.want...)}
		before, odd := firstOdd(see)
		assert.Equal(t, []Token{row.before, row.odd}, []Token{before, odd}, name)
		assert.Equal(t, row.mark, readMark(&Spec{Base: HueRed}, see), "%s: base red", name)
		assert.Equal(t, row.before, questions[AskBefore].read(nil, see))
		assert.Equal(t, row.odd, questions[AskOdd].read(nil, see))
	}
	for want, got := range map[Token][][]Name{
		SeesNone: {{Dark, Dark}, {Dark}}, Token(Red): {{Blue, Red}, {Dark}}, Token(Green): {{Red}, {Red, Green}}, Token(White): {{White}, {}},
	} {
		assert.Equal(t, want, readLastLit(nil, &sight{look: lookOf(got...)}), "%v", got)
		assert.Equal(t, want, readStaysLit(nil, &sight{look: lookOf([]Name{Yellow}), contactOpen: lookOf(got...)}), "%v", got)
	}
	assert.Equal(t, SeesNone, readLastLit(nil, &sight{look: lookOf()}))
	assert.Equal(t, SeesSteady, readStaysLit(nil, &sight{look: lookOf([]Name{Red})}))
	assert.Equal(t, SeesSteady, readStaysLit(nil, &sight{look: lookOf([]Name{Red}), contactOpen: lookOf([]Name{Blue}), sparks: true}))
	for want, got := range map[string][][]Name{
		"red": {{Red, Red}, {Red}}, "red,green": {{Red}, {Green}}, "red,green,red": {{Red, Green}, {Green, Red}}, "red,green,red,more": {{Red, Green, Red, Blue}}, "dark,green": {{Dark}, {Green}},
	} {
		assert.Equal(t, want, readSequence(nil, &sight{look: lookOf(got...)}).String())
	}
	for want, see := range map[Token]*sight{
		SeesSteady: {}, SeesSparkles: {sparks: true, contactOpen: lookOf([]Name{Red})}, SeesComesAll: {contactOpen: lookOf([]Name{Dark, Dark}, []Name{Dark})}, SeesComes: {contactOpen: lookOf([]Name{Dark, Dark}, []Name{Dark, Red})},
	} {
		assert.Equal(t, want, readSteady(nil, see))
	}
}

// The first run that is not the picture's, from 1, and how a run may differ.
func TestRunsThatLookDifferent(t *testing.T) {
	row := func(n Name, k int) (out []Name) {
		for range k {
			out = append(out, n)
		}
		return out
	}
	want := lookOf(row(Red, 8), row(Blue, 2), row(Green, 4))
	for name, r := range map[string]struct {
		got  *look
		want Token
	}{
		"as drawn": {lookOf(row(Red, 8), row(Blue, 2), row(Green, 4)), SeesAsDrawn}, "eight are three": {lookOf(row(Red, 3), row(Blue, 2), row(Green, 4)), SeesAsDrawn}, "eight are two": {lookOf(row(Red, 2), row(Blue, 2), row(Green, 4)), seesRun},
		"eight are thirteen": {lookOf(row(Red, 13), row(Blue, 2), row(Green, 4)), SeesAsDrawn}, "eight are fourteen": {lookOf(row(Red, 14), row(Blue, 2), row(Green, 4)), seesRun}, "two are one": {lookOf(row(Red, 8), row(Blue, 1), row(Green, 4)), seesRun + 1},
		"two are three": {lookOf(row(Red, 8), row(Blue, 3), row(Green, 4)), seesRun + 1}, "the last is red": {lookOf(row(Red, 8), row(Blue, 2), row(Red, 4)), seesRun + 2}, "the last is dark": {lookOf(row(Red, 8), row(Blue, 2), nil), seesRun + 2},
		"one more stretch": {lookOf(append(row(Red, 8), Blue), row(Blue, 2), row(Green, 4)), seesRun}, "two are odd": {lookOf(row(Red, 8), row(Red, 2), row(Red, 4)), seesRun + 1},
	} {
		assert.Equal(t, r.want, readRuns(nil, &sight{look: r.got, wanted: want}), name)
	}
	assert.Equal(t, 2, int(seesRun+2-seesRun))
	assert.Equal(t, "run-3", (seesRun + 2).String())
}

// Which light at a place is meant, where no one looks at some, and how bright
// the far end is beside the near one.
func TestEndsThatAreSeen(t *testing.T) {
	w := func(v uint8) patterns.Colour { return patterns.Colour{R: v, G: v, B: v} }
	see := &sight{light: &strip.Pieces{Runs: [][]strip.Piece{{{Colour: w(9), Lights: 2}, {Colour: w(100), Lights: 1}}, {{Colour: w(80), Lights: 2}, {Colour: w(7), Lights: 1}}}}}
	a, b, ok := see.ends()
	assert.Equal(t, []any{w(9), w(7), true}, []any{a, b, ok})
	see.hidden = maskedPlaces{{true, true, false}, {false, false, true}}
	a, b, ok = see.ends()
	assert.Equal(t, []any{w(100), w(80), true}, []any{a, b, ok})
	assert.InDelta(t, 0.8, see.fall(), 1e-12)
	assert.Equal(t, SeesAlike, readFade(nil, see))
	see.hidden = maskedPlaces{{true, true, true}, {true, true, true}}
	_, _, ok = see.ends()
	assert.False(t, ok)
	assert.Negative(t, see.fall())
	faint := func(v uint8) Token {
		var w watcher
		w.see = sight{light: &strip.Pieces{Runs: [][]strip.Piece{{{Colour: patterns.Colour{R: 100}, Lights: 1}, {Colour: patterns.Colour{R: v}, Lights: 1}}}}}
		return w.perhapsFades()
	}
	assert.Equal(t, []Token{seesFading, seesFading, seesFaintly, seesFaintly}, []Token{faint(70), faint(92), faint(93), faint(100)}, "more than 92 of 100 is seen by few")
}

// What is still sure of an answer when something unknown lies behind a fault at
// the fifth pixel.
func TestWhatIsSureBeforeTheUnknown(t *testing.T) {
	f := &field{firsts: []int{0, 3}, sizes: []int{3, 6}}
	h := &hypothesis{faults: []strip.Fault{{Kind: strip.DeadPixel, Pixel: 4}}, moreAfter: true}
	sure := func(s *Spec, seen Token) Token { return f.beforeUnknown(s.row(), h, s, seen) }
	for _, row := range []struct {
		spec       Spec
		seen, want Token
	}{
		{Spec{Kind: AskPlace, Run: 0, Pixel: 2}, Token(Red), Token(Red)}, {Spec{Kind: AskPlace, Run: 1, Pixel: 0}, Token(Red), Token(Red)}, {Spec{Kind: AskPlace, Run: 1, Pixel: 1}, Token(Red), seesAnything},
		{Spec{Kind: AskPlace, Run: 1, Pixel: -1}, Token(Red), seesAnything}, {Spec{Kind: AskPlace, Run: 0, Pixel: -3}, Token(Red), seesAnything}, {Spec{Kind: AskEven}, SeesAll, seesAnything}, {Spec{Kind: AskEven}, SeesFew, seesNotAll},
		{Spec{Kind: AskBefore}, Token(Blue), Token(Blue)}, {Spec{Kind: AskOdd}, SeesAsDrawn, seesAnything}, {Spec{Kind: AskMark}, SeesFirst, SeesFirst}, {Spec{Kind: AskRuns}, seesRun + 1, seesRun + 1}, {Spec{Kind: AskRuns}, SeesAsDrawn, seesAnything},
		{Spec{Kind: AskSequence}, SeesElse, seesAnything}, {Spec{Kind: AskLastLit}, Token(Red), seesAnything}, {Spec{Kind: AskFade}, SeesAlike, seesAnything},
	} {
		assert.Equal(t, row.want, sure(&row.spec, row.seen), "%+v", row.spec)
	}
}
