package checkout

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
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
		if got := information(due, n); math.Abs(got-want) > 1e-9 {
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
	assert.Equal(t, []Token{Token(Red), Token(Green), Token(Blue), Token(Dark), SeesElse}, offeredAnswers(s, []Token{Token(Green), Token(Dark)}, []float64{0.1, 0.2}))
	assert.Equal(t, []Token{Token(Red), Token(Blue), SeesElse}, offeredAnswers(s, nil, nil), "dark is offered only where something would be")
	assert.Equal(t, []Token{Token(Green), Token(Dark), SeesElse}, likelyAnswers(s, []Token{Token(Dark), Token(Green), SeesElse, Token(Green)}, []float64{0.3, 0.2, 0.1, 0.2}))
	by := map[Token]float64{}
	for i := range Token(8) {
		by[i] = float64(i)
	}
	assert.Equal(t, []Token{7, 6, 5, 4, 3}, topTokens(by))
	assert.Equal(t, []Token{1, 2, 3, 4, 5}, topTokens(map[Token]float64{5: 1, 4: 1, 3: 1, 2: 1, 1: 1, 6: 0.5}), "of equal ones the first")
	assert.Equal(t, map[Token]float64{1: 0.5, seesRun: 0.1}, byToken([]Token{1, SeesElse, 1, seesRun, seesAnything}, []float64{0.2, 0.3, 0.3, 0.1, 0.1}))
	answers := []Token{Token(Red), Token(Blue), SeesElse}
	for tok, want := range map[Token]int{Token(Red): 0, Token(Blue): 1, SeesElse: 2, Token(Green): 2, seesRun: 2, seesRun + 1: 2, seesAnything: -1} {
		assert.Equal(t, want, answerIndex(answers, tok), "%v", tok)
	}
	assert.Equal(t, -1, answerIndex([]Token{Token(Red)}, Token(Green)), "not sure, where nothing else is offered")
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
	c.judgeTie([]Token{Token(Red), Token(Blue), Token(Green), seesAnything}, []float64{0.5, 0.2, 0.2, 0.1}, Token(Red))
	assert.InDelta(t, information([]float64{0.5, 0.4}, 3), c.bits, 1e-12)
	c.judgeTie([]Token{Token(Red)}, []float64{1}, seesAnything)
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
				require.True(t, fam.placed)
				require.Len(t, fam.faults, p.Pixels())
				for i, ft := range fam.faults {
					require.Equal(t, i, ft.Pixel)
				}
			} else {
				require.False(t, fam.placed)
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
