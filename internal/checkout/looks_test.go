package checkout

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// What a person calls a light: the colours that reach six tenths of the
// strongest, dark below five; a white adds to all three.
func TestNamesOfLights(t *testing.T) {
	for c, want := range map[patterns.Colour]Name{
		{}: Dark, {R: 4}: Dark, {R: 5}: Red, {R: 2, W: 2}: Dark, {W: 5}: White, {C: 5}: White, {W: 3, C: 2}: White, {R: 100, G: 59}: Red, {R: 100, G: 60}: Yellow, {R: 59, G: 100}: Green, {R: 60, G: 100}: Yellow,
		{G: 100, B: 60}: Cyan, {G: 100, B: 59}: Green, {G: 60, B: 100}: Cyan, {R: 60, B: 100}: Magenta, {R: 59, B: 100}: Blue, {R: 255, G: 255, B: 255}: White, {R: 100, G: 60, B: 60}: White, {R: 255, W: 100}: Red, {R: 100, W: 150}: White, {R: 100, C: 149}: Red, // 149 of 249 is just below six tenths
	} {
		assert.Equal(t, want, NameOf(c), "%+v", c)
	}
	for n := Dark; n <= White; n++ {
		assert.Equal(t, n, n.hue().name())
		assert.Equal(t, n, NameOf(n.hue().Colour()), "%v", n)
		assert.True(t, n.hue().known())
	}
	assert.Equal(t, []Name{White, White, Dark}, []Name{HueWarm.name(), HueCool.name(), Hue("pink").name()})
	assert.False(t, Hue("pink").known())
	assert.Equal(t, patterns.Colour{W: 255}, HueWarm.Colour())
	assert.Equal(t, patterns.Colour{C: 255}, HueCool.Colour())
	assert.Equal(t, 12, strongest(patterns.Colour{R: 3, G: 5, B: 4, W: 6, C: 1}))
	for ch := range patterns.Channel(patterns.NumChannels) {
		assert.Equal(t, patterns.Colour{}.With(ch, 255), hueOf(ch).Colour())
	}
}

// A picture is as long as the prop whatever its stretches say, is cut at the
// ends of runs, and joins neighbours alike.
func TestPictures(t *testing.T) {
	p := Paint{{HueRed, 3}, {HueBlue, 2}}
	for n := range 8 {
		f := p.frame(make(patterns.Frame, 9), n)
		require.Len(t, f, n)
		for i, c := range f {
			want := Dark
			if i < 3 {
				want = Red
			} else if i < 5 {
				want = Blue
			}
			assert.Equal(t, want, NameOf(c), "pixel %d of %d", i, n)
		}
	}
	assert.Equal(t, []Paint{{{HueRed, 2}}, {{HueRed, 1}, {HueBlue, 1}}, {{HueBlue, 1}}, nil}, p.cut([]int{2, 2, 1, 3}))
	assert.Equal(t, Paint{{HueRed, 3}, {HueBlue, 2}}, p, "the picture itself stays")
	assert.True(t, p.has(Red) && p.has(Blue) && !p.has(Green) && !p.has(Dark))
	pt := newPainter(5, HueDark)
	pt.span(-3, 1, HueRed)
	pt.span(3, 99, HueBlue)
	assert.Equal(t, Paint{{HueRed, 2}, {HueDark, 1}, {HueBlue, 2}}, pt.paint())
	pt.span(2, 2, HueBlue)
	assert.Equal(t, Paint{{HueRed, 2}, {HueBlue, 3}}, pt.paint())
	assert.Empty(t, newPainter(0, HueRed).paint())
}

// Which places are looked at, by run, from either end and past it.
func TestWhatIsLookedAt(t *testing.T) {
	h := maskedPlaces{{false, true, true}, {true}}
	for at, want := range map[[2]int]bool{{0, 0}: true, {0, 1}: false, {0, 2}: false, {0, 3}: true, {0, -1}: false, {0, -3}: true, {0, -4}: true, {1, 0}: false, {1, -1}: false, {2, 0}: true, {5, -1}: true} {
		assert.Equal(t, want, h.sees(at[0], at[1]), "%v", at)
	}
	count := func(run int, row ...strip.Piece) (out []strip.Piece) {
		h.each(run, row, func(pc strip.Piece) { out = append(out, pc) })
		return out
	}
	red, blue := patterns.Colour{R: 9}, patterns.Colour{B: 9}
	assert.Equal(t, []strip.Piece{{Colour: red, Lights: 1}, {Colour: blue, Lights: 2}}, count(0, strip.Piece{Colour: red, Lights: 2}, strip.Piece{Colour: blue, Lights: 3}))
	assert.Empty(t, count(1, strip.Piece{Colour: red, Lights: 1}))
	assert.Len(t, count(2, strip.Piece{Colour: red, Lights: 1}), 1)
	f := &field{pixels: 6, sizes: []int{4, 2}, firsts: []int{0, 4}, dark: []bool{true, false, false, true, true, true}}
	first, last, ok := f.ends(0)
	assert.Equal(t, []any{1, 2, true}, []any{first, last, ok})
	_, _, ok = f.ends(1)
	assert.False(t, ok)
	assert.Equal(t, []int{5, 2, 2, 0}, []int{f.before(5, 0), f.before(4, -1), f.before(5, -1), f.before(1, -1)})
	assert.Equal(t, Paint{{HueDark, 1}, {HueRed, 2}, {HueDark, 3}}, f.unlit(Paint{{HueRed, 6}}))
	f.dark = []bool{false, true, false, false, false, false}
	first, last, ok = f.ends(0)
	assert.Equal(t, []any{0, 3, true}, []any{first, last, ok})
	one := &field{pixels: 1, sizes: []int{1}, firsts: []int{0}, dark: []bool{false}}
	first, last, ok = one.ends(0)
	assert.Equal(t, []any{0, 0, true}, []any{first, last, ok}, "one that is seen is both ends")
}

// Hues that give a place away are each seen there as another than themselves and
// than the bands beside them; the last, if there is one, is seen as it is.
func TestHuesThatGiveAPlaceAway(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s signature
		for n := Red; n <= White; n++ {
			s.seenAs[n] = Name(rapid.IntRange(0, 7).Draw(t, n.String()))
		}
		hues := s.hues()
		if s.changed() == slices.Equal(s.seenAs[1:], []Name{1, 2, 3, 4, 5, 6, 7}) {
			t.Fatal("what is changed")
		}
		dark := true
		for n := Red; n <= White; n++ {
			dark = dark && s.seenAs[n] == Dark
		}
		if s.dark() != dark {
			t.Fatal("what is dark")
		}
		seen := map[Hue]bool{}
		for i, h := range hues {
			n := h.name()
			if seen[h] {
				t.Fatalf("%v twice in %v", h, hues)
			}
			seen[h] = true
			if s.seenAs[n] == n {
				if i != len(hues)-1 {
					t.Fatalf("%v is seen unchanged in the middle of %v", h, hues)
				}
				continue
			}
			if i > 0 && s.seenAs[hues[i-1].name()] != hues[i-1].name() && (s.seenAs[hues[i-1].name()] == n || s.seenAs[n] == hues[i-1].name()) {
				t.Fatalf("%v beside %v is seen alike", h, hues[i-1])
			}
		}
		if len(hues) > mostOthers {
			t.Fatalf("%d hues, more than can be answered", len(hues))
		}
		base, ok := s.base()
		unchanged := s.seenAs[Red] == Red && s.seenAs[Green] == Green && s.seenAs[Blue] == Blue && s.seenAs[White] == White
		if ok == unchanged || ok && s.seenAs[base.name()] == base.name() {
			t.Fatalf("base %v, %v", base, ok)
		}
	})
	named := func(ns ...Name) (s signature) {
		copy(s.seenAs[1:], ns)
		return s
	}
	plain := named(1, 2, 3, 4, 5, 6, 7)
	assert.Equal(t, appearance(0), (&signature{}).appearance())
	assert.Equal(t, appearance(3), plain.appearance())
	lost := named(0, 2, 2, 4, 4, 6, 6)
	assert.Equal(t, appearance(2), lost.appearance())
	order := named(2, 1, 3, 4, 6, 5, 7)
	assert.Equal(t, appearance(3), order.appearance(), "white stays white")
	plain.loose = true
	assert.Equal(t, appearance(4), plain.appearance())
	gone := signature{darkAfter: true}
	assert.Equal(t, appearance(1), gone.appearance())
}

// Readings at their edges: how many pixels are few, how far a stretch may be off,
// how much dimmer the far end surely is.
func TestReadingsAtTheirEdges(t *testing.T) {
	even := func(run ...stretch) Token {
		l := &look{all: run, runAt: []int{0, len(run)}}
		return readEven(&Spec{Kind: AskEven, Base: HueRed}, &sight{look: l})
	}
	for name, row := range map[string]struct {
		run  []stretch
		want Token
	}{
		"all": {[]stretch{{Red, 20}}, SeesAll}, "other": {[]stretch{{Blue, 20}}, SeesOther}, "none": {[]stretch{{Dark, 20}}, SeesNone}, "one odd": {[]stretch{{Red, 9}, {Blue, 1}, {Red, 10}}, SeesFew},
		"three odd": {[]stretch{{Red, 9}, {Blue, 3}, {Red, 10}}, SeesFew}, "four odd": {[]stretch{{Red, 9}, {Blue, 4}, {Red, 10}}, SeesMixed}, "tail": {[]stretch{{Red, 9}, {Dark, 1}}, SeesTail},
		"tail and three": {[]stretch{{Red, 9}, {Blue, 3}, {Dark, 1}}, SeesTail}, "tail and four": {[]stretch{{Red, 9}, {Blue, 4}, {Dark, 1}}, SeesMixed}, "dark within": {[]stretch{{Red, 9}, {Dark, 1}, {Red, 1}}, SeesFew},
	} {
		assert.Equal(t, row.want, even(row.run...), name)
	}
	for n, want := range map[int32]int32{1: 0, 2: 0, 3: 3, 4: 4, 8: 5, 40: 13} {
		assert.Equal(t, want, slackFor(n), "%d", n)
		assert.True(t, alike([]stretch{{Red, n + want}}, []stretch{{Red, n}}))
		assert.True(t, alike([]stretch{{Red, n - want}}, []stretch{{Red, n}}))
		assert.False(t, alike([]stretch{{Red, n + want + 1}}, []stretch{{Red, n}}))
		assert.False(t, alike([]stretch{{Red, n - want - 1}}, []stretch{{Red, n}}))
		assert.False(t, alike([]stretch{{Blue, n}}, []stretch{{Red, n}}))
		assert.False(t, alike([]stretch{{Red, n}, {Blue, n}}, []stretch{{Red, n}}))
	}
	fade := func(a, b patterns.Colour) Token {
		return readFade(nil, &sight{light: &strip.Pieces{Runs: [][]strip.Piece{{{Colour: a, Lights: 5}}, {{Colour: b, Lights: 1}}}}})
	}
	w := func(v uint8) patterns.Colour { return patterns.Colour{R: v, G: v, B: v} }
	for v, want := range map[uint8]Token{100: SeesAlike, 60: SeesAlike, 59: SeesFades, 5: SeesFades, 4: SeesElse} {
		assert.Equal(t, want, fade(w(100), w(v)), "%d of 100", v)
	}
	assert.Equal(t, SeesFades, fade(w(100), patterns.Colour{R: 100}), "redder")
	assert.Equal(t, SeesElse, fade(w(0), w(100)))
	assert.Equal(t, SeesElse, readFade(nil, &sight{light: &strip.Pieces{Runs: [][]strip.Piece{{}}}}))
	run := []strip.Piece{{Colour: patterns.Colour{R: 9}, Lights: 2}, {Colour: patterns.Colour{B: 9}, Lights: 1}}
	for at, want := range map[int]Name{0: Red, 1: Red, 2: Blue, 3: Dark, -1: Blue, -2: Red, -3: Red, -4: Dark} {
		assert.Equal(t, want, nameAt(run, at), "pixel %d", at)
	}
	l := &look{all: []stretch{{Red, 3}, {Dark, 1}, {Dark, 2}}, runAt: []int{0, 2, 3}}
	assert.EqualValues(t, 3, l.tail())
	by, all := l.counts()
	assert.Equal(t, []int{3, 3, 6}, []int{by[Red], by[Dark], all})
	assert.Equal(t, []stretch{{Dark, 2}}, l.run(1))
	assert.Nil(t, l.run(2))
	assert.Nil(t, l.run(-1))
	m := &look{all: slices.Clone(l.all), runAt: slices.Clone(l.runAt)}
	assert.True(t, l.equal(m))
	m.runAt[1] = 1
	assert.False(t, l.equal(m))
	m = &look{all: slices.Clone(l.all), runAt: slices.Clone(l.runAt)}
	m.all[0].n++
	assert.False(t, l.equal(m))
	m.all = m.all[:2]
	assert.False(t, l.equal(m))
}
