package checkout

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// What an answer tells is the mutual information of a channel that passes the
// due answer with 98 % and any other with an equal part of the rest: Shannon's
// sum over all pairs, written out.
func TestGainIsMutualInformation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "answers")
		due, sum := make([]float64, n), 0.0
		for i := range due {
			due[i] = float64(rapid.IntRange(0, 5).Draw(t, "share"))
			sum += due[i]
		}
		if sum == 0 {
			return
		}
		for i := range due {
			due[i] /= sum
		}
		through := func(x, y int) float64 {
			if x == y {
				return 0.98
			}
			return 0.02 / float64(n-1)
		}
		want := 0.0
		for x := range n {
			for y := range n {
				py := 0.0
				for z := range n {
					py += due[z] * through(z, y)
				}
				if due[x] > 0 {
					want += due[x] * through(x, y) * math.Log2(through(x, y)/py)
				}
			}
		}
		if got := gain(due, n); math.Abs(got-want) > 1e-9 {
			t.Fatalf("%g bits, want %g of %v", got, want, due)
		}
	})
	// The likelihoods of all answers to one question add up to one.
	for n := 2; n < 7; n++ {
		for due := -1; due < n; due++ {
			sum := 0.0
			for given := range n {
				sum += math.Exp(likelihood(due, given, n))
			}
			assert.InDelta(t, 1, sum, 1e-12, "%d of %d", due, n)
		}
		assert.InDelta(t, math.Log(0.98), likelihood(1, 1, n), 1e-12)
	}
}

// Answers on offer: colours of the picture always, others as far as an open
// hypothesis shows them, in one order, five others at most, "something else"
// last.
func TestAnswersOnOffer(t *testing.T) {
	s := &Spec{Kind: AskPlace, Paint: Paint{{HueRed, 2}, {HueBlue, 2}}}
	assert.Equal(t, []Token{Token(Red), Token(Green), Token(Blue), Token(Dark), SeesElse}, offer(s, []Token{Token(Green), Token(Dark)}, []float64{0.1, 0.2}))
	assert.Equal(t, []Token{Token(Red), Token(Blue), SeesElse}, offer(s, nil, nil), "dark is offered only where something would be")
	assert.Equal(t, []Token{Token(Green), Token(Dark), SeesElse}, likeliest(s, []Token{Token(Dark), Token(Green), SeesElse, Token(Green)}, []float64{0.3, 0.2, 0.1, 0.2}))
	by := map[Token]float64{}
	for i := range Token(8) {
		by[i] = float64(i)
	}
	assert.Equal(t, []Token{7, 6, 5, 4, 3}, sorted(by))
	assert.Equal(t, []Token{1, 2, 3, 4, 5}, sorted(map[Token]float64{5: 1, 4: 1, 3: 1, 2: 1, 1: 1, 6: 0.5}), "of equal ones the first")
	assert.Equal(t, map[Token]float64{1: 0.5, seesRun: 0.1}, byToken([]Token{1, SeesElse, 1, seesRun, seesAnything}, []float64{0.2, 0.3, 0.3, 0.1, 0.1}))
	answers := []Token{Token(Red), Token(Blue), SeesElse}
	for tok, want := range map[Token]int{Token(Red): 0, Token(Blue): 1, SeesElse: 2, Token(Green): 2, seesRun: 2, seesRun + 1: 2, seesAnything: -1} {
		assert.Equal(t, want, place(answers, tok), "%v", tok)
	}
	assert.Equal(t, -1, place([]Token{Token(Red)}, Token(Green)), "not sure, where nothing else is offered")
}

// A sample stands for the whole: all that is open while it is few, else some of
// each family, whose shares together are those of the family.
func TestSampleStandsForTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := &belief{hyps: make([]hypothesis, rapid.IntRange(1, 900).Draw(t, "hypotheses"))}
		w, fam := make([]float64, len(b.hyps)), int32(0)
		whole := map[int32]float64{}
		sags := map[int32]bool{}
		open := 0
		for i := range b.hyps {
			if i > 0 && rapid.IntRange(0, 60).Draw(t, "next family") == 0 {
				fam++
			}
			sag := fam%5 == 4
			b.hyps[i] = hypothesis{family: fam, sag: sag}
			w[i] = float64(rapid.IntRange(0, 9).Draw(t, "weight")) / 4000
			if w[i] > 0 {
				open++
				whole[fam] += w[i]
				sags[fam] = sag
			}
		}
		live, share := b.sample(w)
		got, n := map[int32]float64{}, map[int32]int{}
		for k, i := range live {
			if k > 0 && live[k-1] >= i || w[i] == 0 || share[k] <= 0 {
				t.Fatalf("%d after %d", i, live[max(0, k-1)])
			}
			got[b.hyps[i].family] += share[k]
			n[b.hyps[i].family]++
		}
		if open <= 220 && len(live) != open {
			t.Fatalf("%d of %d", len(live), open)
		}
		for f, sum := range whole {
			if math.Abs(got[f]-sum) > 1e-9 {
				t.Fatalf("family %d has %g of %g", f, got[f], sum)
			}
			if open > 220 {
				most := 2 + int(220*sum)
				if sags[f] {
					most = 3
					if sum < 0.15 {
						most = 1
					}
				}
				if n[f] > most {
					t.Fatalf("%d of family %d, whose part is %g", n[f], f, sum)
				}
			}
		}
	})
}

// Places in rows of about equal share: at most so many, in order, none empty; a
// place that outweighs a row stands alone.
func TestGroupsOfPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var places []spotShare
		total, most := 0.0, 0.0
		for i, x := range rapid.SliceOfN(rapid.IntRange(1, 20), 1, 30).Draw(t, "shares") {
			places = append(places, spotShare{i, float64(x)})
			total, most = total+float64(x), max(most, float64(x))
		}
		n := rapid.IntRange(1, 6).Draw(t, "rows")
		starts := groups(places, n)
		if len(starts) > n || starts[0] != 0 {
			t.Fatalf("%v for %d rows", starts, n)
		}
		for k, s := range starts {
			end := len(places)
			if k+1 < len(starts) {
				end = starts[k+1]
			}
			if s >= end {
				t.Fatalf("an empty row in %v", starts)
			}
			sum := 0.0
			for _, q := range places[s:end] {
				sum += q.share
			}
			if len(starts) == n && sum > total/float64(n)*2+most {
				t.Fatalf("row %d of %v has %g of %g", k, starts, sum, total)
			}
		}
	})
	even := []spotShare{{0, 1}, {1, 1}, {2, 1}, {3, 1}, {4, 1}, {5, 1}}
	assert.Equal(t, []int{0, 2, 4}, groups(even, 3))
	assert.Equal(t, []int{0, 3}, groups(even, 2))
	assert.Equal(t, []int{0}, groups(even, 1))
	assert.Equal(t, []int{0, 1, 2}, groups([]spotShare{{0, 1}, {1, 9}, {2, 1}}, 3), "the heavy one alone")
	assert.Equal(t, []Hue{HueBlue, HueGreen, HueRed, HueWhite}, turned([]Hue{HueRed, HueGreen, HueBlue, HueWhite}), "the last stays")
	assert.Equal(t, []Hue{HueGreen, HueRed}, turned([]Hue{HueRed, HueGreen}))
}

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
			s.at[n] = Name(rapid.IntRange(0, 7).Draw(t, n.String()))
		}
		hues := s.hues()
		if s.changed() == slices.Equal(s.at[1:], []Name{1, 2, 3, 4, 5, 6, 7}) {
			t.Fatal("what is changed")
		}
		dark := true
		for n := Red; n <= White; n++ {
			dark = dark && s.at[n] == Dark
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
			if s.at[n] == n {
				if i != len(hues)-1 {
					t.Fatalf("%v is seen unchanged in the middle of %v", h, hues)
				}
				continue
			}
			if i > 0 && s.at[hues[i-1].name()] != hues[i-1].name() && (s.at[hues[i-1].name()] == n || s.at[n] == hues[i-1].name()) {
				t.Fatalf("%v beside %v is seen alike", h, hues[i-1])
			}
		}
		if len(hues) > mostOthers {
			t.Fatalf("%d hues, more than can be answered", len(hues))
		}
		base, ok := s.base()
		unchanged := s.at[Red] == Red && s.at[Green] == Green && s.at[Blue] == Blue && s.at[White] == White
		if ok == unchanged || ok && s.at[base.name()] == base.name() {
			t.Fatalf("base %v, %v", base, ok)
		}
	})
	named := func(ns ...Name) (s signature) {
		copy(s.at[1:], ns)
		return s
	}
	plain := named(1, 2, 3, 4, 5, 6, 7)
	assert.Equal(t, appearance(0), (&signature{}).look())
	assert.Equal(t, appearance(3), plain.look())
	lost := named(0, 2, 2, 4, 4, 6, 6)
	assert.Equal(t, appearance(2), lost.look())
	order := named(2, 1, 3, 4, 6, 5, 7)
	assert.Equal(t, appearance(3), order.look(), "white stays white")
	plain.loose = true
	assert.Equal(t, appearance(4), plain.look())
	gone := signature{beyond: true}
	assert.Equal(t, appearance(1), gone.look())
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
		assert.Equal(t, want, roomFor(n), "%d", n)
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

// Places to look at, in words.
func TestSpotsInWords(t *testing.T) {
	f := &field{prop: &prop.Prop{Runs: []prop.Run{{Name: "a", Pixels: 5}, {Name: "b", Pixels: 20}}}, pixels: 25, sizes: []int{5, 20}, firsts: []int{0, 5}}
	for at, want := range map[[2]int]string{{0, 0}: "the first pixel", {1, -1}: "the last pixel", {1, 3}: "pixel 4", {1, -4}: "pixel 4 from the far end"} {
		assert.Equal(t, want+" of "+f.prop.RunName(at[0]), f.spotText(at[0], at[1]))
	}
	assert.Equal(t, "the prop", f.runText(2))
	assert.Equal(t, "the prop", f.runText(-1))
	for at, want := range map[[2]int]int{{0, 0}: 0, {1, 3}: 8, {1, -1}: 24, {0, -2}: 3} {
		assert.Equal(t, []prop.Span{{First: want, Last: want}}, f.lookAt(&Spec{Kind: AskPlace, Run: at[0], Pixel: at[1]}))
	}
	assert.Nil(t, f.lookAt(&Spec{Kind: AskEven}))
	assert.Equal(t, []spot{{0, 0}, {0, -1}, {1, 0}, {1, -1}, {1, -4}, {1, -11}}, f.spotsOf(), "both ends of every run, and two before the very end")
	for _, row := range []struct{ first, last, spots int }{{5, 11, 6}, {5, 10, 6}, {5, 5, 6}, {5, 4, 5}, {5, 2, 5}, {5, 1, 3}, {1, 1, 2}} {
		f.sizes = []int{row.first, row.last}
		f.prop.Runs[0].Pixels, f.prop.Runs[1].Pixels = row.first, row.last
		assert.Len(t, f.spotsOf(), row.spots, "%+v", row)
	}
	f.sizes[1], f.sizes[0] = 4, 1
	f.prop.Runs[0].Pixels, f.prop.Runs[1].Pixels = 1, 4
	assert.Equal(t, []spot{{0, 0}, {1, 0}, {1, -1}, {1, -4}}, f.spotsOf(), "the one before the end is a pixel of the plan")
	one := &field{prop: f.prop, pixels: 1}
	assert.Equal(t, "it", one.spotText(0, 0))
	for i := range 3000 {
		c := numbered(3000)[i]
		if i%97 == 0 || i > 2990 {
			assert.Equal(t, i, number(c, 3000))
			assert.Equal(t, -1, number(c, i), "no such pixel")
			c.B++
			assert.Equal(t, -1, number(c, 3000), "no pixel's own number")
		}
	}
	whole := f.walkText(prop.Span{First: 0, Last: 24})
	assert.Contains(t, whole, "Walk the whole prop pixel by pixel: ")
	assert.Contains(t, f.walkText(prop.Span{First: 1, Last: 24}), "from pixel 2 to 25: ")
	assert.Contains(t, f.walkText(prop.Span{First: 0, Last: 23}), "from pixel 1 to 24: ")
	assert.Contains(t, one.walkText(prop.Span{}), "Light each colour of the pixel alone")
}

// The pixels that an answer points at: where the stretch that was passed last
// ends, or the run that is named.
func TestVotesOfAnswers(t *testing.T) {
	f := &field{pixels: 8, sizes: []int{3, 5}, firsts: []int{0, 3}}
	vote := func(k Kind, given Token) []int {
		votes := make([]int, 8)
		f.vote(votes, &step{spec: Spec{Kind: k, Paint: Paint{{HueRed, 3}, {HueBlue, 2}, {HueGreen, 3}}}, answers: []Token{SeesElse, given}, given: 1})
		return votes
	}
	assert.Equal(t, []int{0, 0, 0, 1, 1, 1, 1, 1}, vote(AskRuns, seesRun+1))
	assert.Equal(t, []int{1, 1, 1, 0, 0, 0, 0, 0}, vote(AskRuns, seesRun))
	for _, k := range []Kind{AskBefore, AskLastLit, AskStaysLit} {
		assert.Equal(t, []int{0, 1, 1, 1, 0, 0, 0, 0}, vote(k, Token(Red)), "never the very first: something was passed")
		assert.Equal(t, []int{0, 0, 0, 1, 1, 1, 0, 0}, vote(k, Token(Blue)))
		assert.Equal(t, []int{0, 0, 0, 0, 0, 1, 1, 1}, vote(k, Token(Green)))
	}
	assert.Equal(t, make([]int, 8), vote(AskPlace, Token(Red)))
	assert.Equal(t, make([]int, 8), vote(AskBefore, SeesFirst))
}

// What a probe tells for or against one answer is what a question with two
// answers would.
func TestForOrAgainst(t *testing.T) {
	c := &choice{spec: &Spec{Kind: AskPlace}, answers: []Token{Token(Red), Token(Blue), SeesElse}}
	c.forOrAgainst([]Token{Token(Red), Token(Blue), Token(Green), seesAnything}, []float64{0.5, 0.2, 0.2, 0.1}, Token(Red))
	assert.InDelta(t, gain([]float64{0.5, 0.4}, 3), c.bits, 1e-12)
	c.forOrAgainst([]Token{Token(Red)}, []float64{1}, seesAnything)
	assert.Zero(t, c.bits)
	slow, quick := choice{spec: &Spec{Kind: AskSteady}, bits: 1}, choice{spec: &Spec{Kind: AskPlace}, bits: 1}
	assert.InDelta(t, 1/(8+questions[AskSteady].seconds), slow.rate(), 1e-12, "eight seconds to read, and the look")
	assert.InDelta(t, 1/(8+questions[AskPlace].seconds), quick.rate(), 1e-12)
}

// Every kind of fault that light tells is a family, or one for each of its
// parameters where it sits at a pixel; together they have the kind's prior.
func TestFamiliesShareTheirPrior(t *testing.T) {
	for _, p := range []*prop.Prop{prop.Porthole(), prop.BuoyLamp()} {
		sum := map[strip.Kind]float64{}
		for _, fam := range families(p, []strip.Kind{strip.Sparkle}) {
			sum[fam.facts.Kind] += fam.prior
			require.NotEmpty(t, fam.name)
			if fam.facts.Kind.Placed() && p.Pixels() > 1 {
				require.True(t, fam.places)
				require.Len(t, fam.faults, p.Pixels())
				for i, ft := range fam.faults {
					require.Equal(t, i, ft.Pixel)
				}
			} else {
				require.False(t, fam.places)
			}
		}
		for _, k := range strip.Kinds() {
			facts := strip.FactsOf(k)
			switch {
			case facts.Unlit || k == strip.Sparkle:
				assert.Zero(t, sum[k], k)
			case len(strip.Every(k, p)) > 0 || sum[k] > 0:
				assert.InDelta(t, facts.Chance, sum[k], 1e-9, k)
			}
		}
	}
}
