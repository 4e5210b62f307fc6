package checkout

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// The chance of each fault before any answer, from its row: the kind's chance,
// shared by the weights of its places and values; three tenths of all that is
// shared again equally by all that differ in light; two hundredths for a fall of
// voltage that does not show.
func TestChancesBeforeAnyAnswer(t *testing.T) {
	for _, p := range []*prop.Prop{ringProp("T", 3, 1, 4), single("S", 5), sign()} {
		f, err := newField(p, nil)
		require.NoError(t, err)
		var w watcher
		w.watch(f, &Spec{Kind: AskFade, Paint: f.unlit(even(HueWhite, f.pixels)), Level: f.bright})
		raw, all := map[int]float64{}, 0.0
		prints := map[uint64]bool{f.hyps[0].fingerprint: true}
		for k := range f.families {
			fam := &f.families[k]
			if fam.moreAfter {
				continue
			}
			sum := 0.0
			for i := fam.from; i < fam.to; i++ {
				sum += f.hyps[i].faults[0].Weight(p)
			}
			for i := fam.from; i < fam.to; i++ {
				h := &f.hyps[i]
				raw[i] = fam.prior * h.faults[0].Weight(p) / sum
				if h.sag {
					w.lights(h)
					fall := w.see.fall()
					if fall > 0.92 {
						raw[i] *= 0.02
					}
					require.Equal(t, fall >= 0.6, h.faint)
				}
				all += raw[i]
				prints[h.fingerprint] = true
			}
		}
		first := map[uint64]int{}
		for i := range f.hyps {
			h := &f.hyps[i]
			if i == 0 || h.moreAfter {
				continue
			}
			want := raw[i]
			if !h.sag {
				want *= 0.7
				if _, ok := first[h.fingerprint]; !ok && h.fingerprint != f.hyps[0].fingerprint {
					want += 0.3 * all / float64(len(prints)-1)
				}
			}
			if _, ok := first[h.fingerprint]; !ok {
				first[h.fingerprint] = i
			}
			require.InDelta(t, want, h.prior, 1e-9, "%s: %v", p.Name, h.faults)
		}
		// What has something unknown behind it has a tenth of the same without.
		behind := 0
		for i := range f.hyps {
			if h := &f.hyps[i]; h.moreAfter {
				behind++
				require.InDelta(t, 0.1*f.hyps[h.group].prior, h.prior, 1e-12)
				require.Equal(t, f.hyps[h.group].faults, h.faults)
				require.EqualValues(t, i, h.sameLight)
				of := f.families[h.family]
				require.EqualValues(t, f.hyps[h.group].family, of.of)
				scope := of.facts.Scope
				require.True(t, scope == strip.AtPixel || scope == strip.ChipsFrom, "light gets past it")
			}
		}
		require.NotZero(t, behind)
	}
}

// What families of faults do at their place, by what each kind is. What stays
// lit is at full value, five times as bright as the rest of a probe.
func TestSignaturesOfKinds(t *testing.T) {
	f, err := newField(ringProp("T", 5, 6), nil)
	require.NoError(t, err)
	seen := map[strip.Kind]signature{}
	for i := range f.families {
		if fam := &f.families[i]; fam.placed && !fam.moreAfter {
			ft := fam.faults[0]
			switch ft.Kind {
			case strip.WrongOrder:
				if ft.Order != "RGB" {
					continue
				}
			case strip.DeadChannel, strip.StuckChannel:
				if ft.Channel != patterns.Red {
					continue
				}
			}
			seen[ft.Kind] = f.marks[i]
		} else if fam.moreAfter {
			require.Equal(t, f.marks[fam.of], f.marks[i], "the same with more behind it")
		}
	}
	names := func(of func(n Name) Name) (at [White + 1]Name) {
		for n := Red; n <= White; n++ {
			at[n] = of(n)
		}
		return at
	}
	dark, same := names(func(Name) Name { return Dark }), names(func(n Name) Name { return n })
	for k, want := range map[strip.Kind]signature{
		strip.OpenJoint: {seenAs: dark, darkAfter: true}, strip.RailLost: {seenAs: dark, darkAfter: true}, strip.DeadStop: {seenAs: dark, darkAfter: true}, strip.DeadPixel: {seenAs: dark},
		strip.DeadChannel: {seenAs: names(func(n Name) Name { return n &^ Red })}, strip.StuckChannel: {seenAs: names(func(Name) Name { return Red })}, strip.StuckOn: {seenAs: names(func(Name) Name { return White })},
		strip.Flicker: {seenAs: same, loose: true},
		strip.WrongOrder: {seenAs: names(func(n Name) Name { // red and green exchanged
			return n&Blue | n&Red<<1 | n&Green>>1
		})},
	} {
		got := seen[k]
		assert.Equal(t, want, got, k)
	}
}

// The likelihoods of answers where eyes differ, or not all is known, by hand.
func TestLikelihoodsThatAreNotPlain(t *testing.T) {
	given := func(answers []Token, at int) *step {
		return &step{spec: Spec{Kind: AskFade}, answers: answers, given: at}
	}
	odds := func(st *step, h *hypothesis, seen Token) (float64, bool) {
		ln, miss := st.likelihood(h, seen)
		return math.Exp(ln), miss
	}
	h := &hypothesis{faults: []strip.Fault{{Kind: strip.Sag}}, sag: true}
	fade := []Token{SeesAlike, SeesFades, SeesElse}
	for seen, want := range map[Token][3]float64{seesFading: {0.19, 0.8, 0.01}, seesFaintly: {0.49, 0.5, 0.01}, roughly | SeesFades: {0.2, 0.6, 0.2}} {
		for at := range fade {
			p, miss := odds(given(fade, at), h, seen)
			assert.InDelta(t, want[at], p, 1e-12, "%v", fade[at])
			assert.False(t, miss)
		}
	}
	even := []Token{SeesAll, SeesOther, SeesTail, SeesFew, SeesNone, SeesSparkles, SeesMixed}
	for at, tok := range even {
		p, miss := odds(given(even, at), h, seesPerhaps)
		if tok == SeesAll || tok == SeesMixed {
			assert.InDelta(t, 0.5, p, 1e-12)
			assert.False(t, miss)
		} else {
			assert.InDelta(t, 0.02/6, p, 1e-12)
			assert.True(t, miss, "what comes and goes is seen so, or as all: not %v", tok)
		}
		p, miss = odds(given(even, at), h, seesNotAll)
		if excluded := tok == SeesAll || tok == SeesSparkles; excluded {
			assert.InDelta(t, 0.02/6, p, 1e-12, "%v", tok)
			assert.True(t, miss)
		} else {
			assert.InDelta(t, 1.0/7, p, 1e-12, "any of the others: %v", tok)
			assert.False(t, miss)
		}
		p, miss = odds(given(even, at), &hypothesis{faults: h.faults, sparks: true}, seesAnything)
		assert.InDelta(t, 1.0/7, p, 1e-12)
		assert.False(t, miss)
		_, miss = odds(given(even, at), h, seesAnything)
		assert.Equal(t, tok == SeesSparkles, miss, "only what flashes is seen to flash")
	}
	// A yes is never of a sound prop, nor of a fall of voltage that does not show.
	steady := []Token{SeesSteady, SeesComes, SeesComesAll, SeesSparkles, SeesElse}
	for at, tok := range steady {
		for _, h := range []*hypothesis{{}, {faults: h.faults, sag: true, faint: true}, {faults: h.faults, sag: true}, {faults: []strip.Fault{{Kind: strip.DeadPixel}}}} {
			p, miss := odds(given(steady, at), h, SeesSteady)
			yes := tok == SeesComes || tok == SeesComesAll || tok == SeesSparkles
			switch {
			case tok == SeesSteady:
				assert.InDelta(t, 0.98, p, 1e-12)
			case yes && (h.sound() || h.faint):
				assert.Zero(t, p, "%v", tok)
			default:
				assert.InDelta(t, 0.005, p, 1e-12)
			}
			assert.Equal(t, tok != SeesSteady, miss)
		}
		over := given(steady, at)
		over.overruled = true
		p, _ := odds(over, &hypothesis{}, SeesSteady)
		assert.NotZero(t, p, "unless it was taken back")
	}
	for tok, yes := range map[Token]bool{SeesFades: true, SeesComes: true, SeesComesAll: true, SeesSparkles: true, SeesSteady: false, SeesElse: false, SeesAll: false} {
		assert.Equal(t, yes, saysYes(tok))
	}
}

// The chance of an answer when the fault is none of the list: what the question
// says, more after explanations that failed their confirming look, and of a
// question asked once more that of an answer that stays.
func TestLikelihoodsOfTheUnknown(t *testing.T) {
	look := func(k Kind, given int, answers ...Token) step {
		return step{spec: Spec{Kind: k, Paint: Paint{{HueRed, 3}}, Level: 0.2}, answers: answers, given: given}
	}
	odds := func(steps ...step) float64 {
		var b belief
		b.weighUnknown(steps, len(steps)-1)
		return math.Exp(b.unknown)
	}
	assert.InDelta(t, 1, odds(look(AskLastLit, -1, Token(Red), SeesElse)), 1e-12, "not sure tells nothing")
	assert.InDelta(t, 0.25, odds(look(AskLastLit, 0, Token(Red), Token(Blue), Token(Dark), SeesElse)), 1e-12)
	assert.InDelta(t, 0.9, odds(look(AskSteady, 0, SeesSteady, SeesComes)), 1e-12)
	assert.InDelta(t, 0.03, odds(look(AskSteady, 1, SeesSteady, SeesComes)), 1e-12)
	no := look(AskConfirm, 1, SeesAsDrawn, SeesElse)
	for n, want := range []float64{0.03, 0.5, 0.8, 0.8, 0.8} {
		steps := slices.Repeat([]step{no}, n)
		for i := range steps {
			steps[i].spec.Level = float64(i+1) / 100 // each another
		}
		assert.InDelta(t, want, odds(append(steps, look(AskSteady, 1, SeesSteady, SeesComes))...), 1e-12, "%d refuted", n)
	}
	first := look(AskLastLit, 0, Token(Red), Token(Blue), SeesElse)
	again := first
	again.spec.Again = true
	assert.InDelta(t, 0.98, odds(first, again), 1e-12, "it still looks so")
	again.given = 1
	assert.InDelta(t, 0.01, odds(first, again), 1e-12)
	unsure := first
	unsure.given = -1
	assert.InDelta(t, 1.0/3, odds(unsure, again), 1e-12, "there was no answer to stay by")
	assert.InDelta(t, 1.0/3, odds(again), 1e-12)
}

// Who fits, and what is left to look at beside the likeliest, by hand.
func TestWhoFits(t *testing.T) {
	b := &belief{hyps: make([]hypothesis, 4), contradicted: []uint8{1, 0, 1, 2}}
	for i := range b.hyps {
		b.hyps[i].group = int32(i)
	}
	for w, want := range map[float64]bool{0.1: false, 0.11: true, 0: false} {
		p := &posterior{each: []float64{0.8 - w, w, 0.1, 0.1}}
		assert.Equal(t, want, b.fits(p), "%g", w)
		assert.Equal(t, w > 0, b.anyFits(p))
	}
	for _, row := range []struct {
		rival, paired  float64
		singles, pairs bool
	}{{0.003, 0, false, false}, {0.0031, 0, true, false}, {0, 0.004, false, false}, {0, 0.0041, false, true}, {0.01, 0.01, true, true}} {
		b.hyps[1].partner = 7
		p := &posterior{each: []float64{0.9, row.paired, row.rival, 0.05}, top: 0}
		odds, singles, pairs := b.tieBreak(p)
		assert.Equal(t, []bool{row.singles, row.pairs}, []bool{singles, pairs}, "%+v", row)
		if sum := row.rival + row.paired; sum > 0 {
			assert.InDeltaSlice(t, []float64{0.5, 0.5 * row.paired / sum, 0.5 * row.rival / sum, 0}, odds, 1e-9, "who contradicts more is left out")
		}
	}
	b.hyps[2].group = 0
	odds, singles, _ := b.tieBreak(&posterior{each: []float64{0.9, 0.05, 0.05, 0}, top: 0})
	assert.False(t, singles, "what says the same is no rival")
	assert.InDeltaSlice(t, []float64{0.5, 0.5, 0, 0}, odds, 1e-9)
}

// What is paired with what, found by looking at every hypothesis.
func TestPartnersOfPairs(t *testing.T) {
	f, err := newField(ringProp("T", 5, 4, 2), nil)
	require.NoError(t, err)
	black := f.hyps[slices.IndexFunc(f.hyps, func(h hypothesis) bool { return !h.sound() && h.faults[0].Kind == strip.NoSupply })].fingerprint
	var want []int
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.sound() || int(h.sameLight) != i || h.moreAfter || h.sparks {
			continue
		}
		ft, scope := h.faults[0], strip.FactsOf(h.faults[0].Kind).Scope
		whole := scope == strip.Whole || scope == strip.OneRun || scope == strip.TwoRuns
		far := ft.Kind == strip.Count && (ft.N > 3 || ft.N < -3)
		if whole && !far && h.fingerprint != black || scope == strip.ChipsFrom && ft.Pixel == 0 {
			want = append(want, i)
		}
	}
	slices.SortStableFunc(want, func(a, b int) int { return cmp.Compare(f.hyps[b].prior, f.hyps[a].prior) })
	require.Greater(t, len(want), 50)
	assert.Equal(t, want[:min(120, len(want))], f.globals, "likeliest first, 120 at most")
	require.NotZero(t, f.noData)
	assert.Equal(t, black, f.hyps[f.noData].fingerprint)
	lights := map[strip.Kind]bool{}
	for _, k := range f.litWithoutData {
		lights[f.families[k].facts.Kind] = true
	}
	assert.Equal(t, map[strip.Kind]bool{strip.StuckOn: true, strip.StuckChannel: true}, lights, "what lights without data")
	pixels := []int{0, 3, 8, 10}
	for k := range f.families {
		var sit []int
		for i := range f.hyps {
			if h := &f.hyps[i]; int(h.family) == k && f.families[k].placed && !f.families[k].moreAfter && int(h.sameLight) == i && slices.Contains(pixels, h.place()) {
				sit = append(sit, i)
			}
		}
		assert.Equal(t, sit, f.atPixels(k, pixels), f.families[k].name)
		for at := -1; at <= 11 && f.families[k].placed && !f.families[k].moreAfter; at++ {
			first := f.families[k].from
			for first < f.families[k].to && f.hyps[first].place() < at {
				first++
			}
			assert.Equal(t, first, f.at(&f.families[k], at))
		}
	}
	s := &Session{field: f, belief: f.newBelief()}
	p := &posterior{each: make([]float64, len(f.hyps))}
	var places []int
	w := 0.4
	for i := len(f.hyps) - 1; i > 0 && len(places) < 5; i-- {
		if h := &f.hyps[i]; f.families[h.family].placed && i%7 == 0 {
			p.each[i] = w
			if w /= 2; !slices.Contains(places, h.place()) {
				places = append(places, h.place())
			}
		}
	}
	p.each[0] = 0.3
	for most := 1; most < 5; most++ {
		got := s.likelyPlaces(p, most)
		assert.Equal(t, places[:min(most, len(places))], got, "%d", most)
	}
	for i := range p.each {
		p.each[i] = min(p.each[i], 1e-4)
	}
	assert.Empty(t, s.likelyPlaces(p, 3), "places that are hardly likely")
}
