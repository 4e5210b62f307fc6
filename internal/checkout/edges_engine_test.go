package checkout

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// guesser plays a check-out with answers that are mostly right for a strip and
// else drawn by lot, not sure among them, and looks at every step.
func guesser(t *testing.T, p *prop.Prop, seed uint64, opts Options, look func(s *Session)) *Session {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 7))
	s, err := New(p, opts)
	require.NoError(t, err)
	st, err := strip.New(p, strip.Random(p, seed))
	require.NoError(t, err)
	var b builder
	for pr, ok := s.Next(); ok; pr, ok = s.Next() {
		look(s)
		given := key(s.field, &pr, st, &b)
		if rng.IntN(3) == 0 {
			given = rng.IntN(len(pr.Answers) + 1)
		}
		require.NoError(t, s.Answer(given))
	}
	look(s)
	return s
}

// Whatever is answered, a check-out keeps to its rules: a question is asked once
// more at most three times, each only after its first time and never twice; no
// probe is asked again otherwise; it ends within its most answers, and then
// gives no question.
func TestRulesOfAnyCheckOut(t *testing.T) {
	most := 0
	var came sum
	for seed := uint64(0); seed < 5 || most < 3 && seed < 50; seed++ {
		opts := Options{Most: 25}
		s := guesser(t, ringProp("small", 4, 3), seed, opts, func(s *Session) {
			known := s.now.unknown
			for _, w := range s.now.each {
				known += w
			}
			require.InDelta(t, 1, known, 1e-9)
			unknownRules(t, s)
		})
		again, asked := 0, map[string]bool{}
		for i := range s.steps {
			spec := s.steps[i].spec
			require.False(t, asked[spec.key()], "asked before")
			asked[spec.key()] = true
			if spec.Again {
				first := spec.first()
				require.True(t, asked[first.key()], "asked once more before it was asked")
				at := earlier(s.steps[:i], &spec)
				require.NotEqual(t, -1, s.steps[at].given, "who was not sure is not asked once more")
				if !saysYes(s.steps[at].answers[s.steps[at].given]) { // a yes that all hangs on is asked for twice
					again++
				}
				differ := s.steps[i].given >= 0 && s.steps[i].answers[s.steps[i].given] != s.steps[at].answers[s.steps[at].given]
				require.Equal(t, differ, s.steps[at].overruled, "the later answer counts where they differ")
			}
		}
		require.LessOrEqual(t, again, 3)
		most = max(most, again)
		require.LessOrEqual(t, len(s.steps), 25)
		require.LessOrEqual(t, refuted(s.steps), 3)
		require.NotEmpty(t, s.Stopped())
		require.Error(t, s.Answer(1))
		// Taken up again from what was written down, it is where it was.
		r, err := Restore(s.field.prop, opts, s.Log())
		require.NoError(t, err)
		require.Equal(t, s.Log(), r.Log())
		require.Equal(t, s.Stopped(), r.Stopped())
		require.Equal(t, s.Standing(), r.Standing())
		came.add(s)
	}
	figures(t, "%v", &came)
	assert.Equal(t, 3, most, "some of them were contradicted so often")
}

// unknownRules: nothing known explains the answers where all that stands
// contradicts one, or is less likely than a fault that is none of the list; not
// while the check-out goes on and what stands is likelier, and never before an
// answer.
func unknownRules(t *testing.T, s *Session) {
	t.Helper()
	standing := s.standing()
	for _, su := range standing { // who fits all answers, and as well as the likeliest
		var all, as bool
		for i, w := range s.now.each {
			if h := &s.belief.hyps[i]; w >= 1e-6 && h.group == s.belief.hyps[su.best].group {
				all, as = all || s.belief.misses[i] == 0, as || s.belief.misses[i] <= s.belief.misses[s.now.top]
			}
		}
		require.Equal(t, []bool{all, as}, []bool{su.fitsAll, su.Fits})
	}
	top := s.now.top
	fits := s.belief.misses[top] == 0 || s.belief.hyps[top].sag && len(standing) > 0 && standing[0].fitsAll
	want := len(s.steps) > 0
	switch {
	case s.now.unknown > s.now.share:
	case fits && len(standing) > 0:
		want = false
	case !fits && s.stopped == "":
		want = false
	}
	u := s.unexplained(standing)
	require.Equal(t, want, u != nil, "after %d answers", len(s.steps))
	if u != nil {
		require.Equal(t, "Nothing I know explains this.", u.Title)
		require.NotEmpty(t, u.Unknown.Misfits())
		against := 0
		for k, st := range s.steps {
			again := st.spec
			again.Again = true
			if st.given < 0 || st.overruled || !st.spec.Again && s.used[again.key()] {
				continue
			}
			if _, miss := st.likelihood(&s.belief.hyps[top], s.shown(k).by(&s.belief, s.field, &st.spec, top)); miss {
				require.Contains(t, u.Unknown.Against, s.said(k))
				against++
			}
		}
		require.Len(t, u.Unknown.Against, against)
		require.Equal(t, []prop.Span{u.Unknown.Walk}, u.Pixels)
		require.LessOrEqual(t, u.Percent, 94, "what contradicts an answer is likely at best")
	}
}

// The probe that is asked tells most a second of all that may be asked, when
// each is judged by itself and each hypothesis shown to it alone.
func TestTheProbeThatTellsMost(t *testing.T) {
	p := ringProp("small", 3, 2)
	for seed, fault := range []strip.Fault{{Kind: strip.OpenJoint, Pixel: 3}, {Kind: strip.DeadChannel, Pixel: 2, Channel: patterns.Red}, {Kind: strip.Flicker, Pixel: 4}} {
		s, err := New(p, Options{})
		require.NoError(t, err)
		st, err := strip.New(p, fault)
		require.NoError(t, err)
		var b builder
		for range 4 {
			pr, ok := s.Next()
			if !ok {
				break
			}
			live, share := s.belief.sample(s.now.each)
			q := &proposer{f: s.field, hyps: s.belief.hyps, live: live, share: share, used: s.used}
			for _, tie := range []bool{false, true} {
				specs := q.all()
				got, best := s.pick(specs, q, s.now.top, tie), 0.0
				for _, spec := range specs {
					if !s.used[spec.key()] && !s.unseen(spec) {
						best = max(best, rateAlone(s, spec, live, share, tie))
					}
				}
				if got == nil {
					require.Zero(t, best)
					continue
				}
				require.InDelta(t, best, got.rate(), 1e-9, "fault %d, tie %v", seed, tie)
				require.False(t, s.used[got.spec.key()])
			}
			require.NoError(t, s.Answer(key(s.field, &pr, st, &b)))
		}
	}
}

// rateAlone is what a probe tells a second, each hypothesis run by itself: the
// information of a channel that is right in 98 of 100.
func rateAlone(s *Session, spec *Spec, live []int, share []float64, tie bool) float64 {
	reads := func(i int) Token { return s.runThrough([]*Spec{spec}, []int{i})[0][0] }
	var seen []Token
	for _, i := range live {
		seen = append(seen, reads(i))
	}
	answers := offer(spec, seen, share)
	due := map[int]float64{}
	n := len(answers)
	if tie {
		mine := place(answers, reads(s.now.top))
		if mine < 0 {
			return 0
		}
		for i, t := range seen {
			switch at := place(answers, t); {
			case at == mine:
				due[0] += share[i]
			case at >= 0:
				due[1] += share[i]
			}
		}
	} else {
		few := likeliest(spec, seen, share)
		n = len(few)
		for i, t := range seen {
			if at := place(few, t); at >= 0 {
				due[at] += share[i]
			}
		}
	}
	if len(answers) < 2 {
		return 0
	}
	bits := 0.0
	other := 0.02 / float64(n-1)
	count := n
	if tie {
		count = 2
	}
	for k := range count {
		if q := due[k]*0.98 + (1-due[k])*other; q > 0 {
			bits -= q * math.Log2(q)
		}
	}
	bits += 0.98*math.Log2(0.98) + 0.02*math.Log2(other)
	return max(0, bits) / (8 + questions[spec.Kind].seconds)
}

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
		prints := map[uint64]bool{f.hyps[0].print: true}
		for k := range f.families {
			fam := &f.families[k]
			if fam.behind {
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
				prints[h.print] = true
			}
		}
		first := map[uint64]int{}
		for i := range f.hyps {
			h := &f.hyps[i]
			if i == 0 || h.behind {
				continue
			}
			want := raw[i]
			if !h.sag {
				want *= 0.7
				if _, ok := first[h.print]; !ok && h.print != f.hyps[0].print {
					want += 0.3 * all / float64(len(prints)-1)
				}
			}
			if _, ok := first[h.print]; !ok {
				first[h.print] = i
			}
			require.InDelta(t, want, h.prior, 1e-9, "%s: %v", p.Name, h.faults)
		}
		// What has something unknown behind it has a tenth of the same without.
		behind := 0
		for i := range f.hyps {
			if h := &f.hyps[i]; h.behind {
				behind++
				require.InDelta(t, 0.1*f.hyps[h.group].prior, h.prior, 1e-12)
				require.Equal(t, f.hyps[h.group].faults, h.faults)
				require.EqualValues(t, i, h.twin)
				of := f.families[h.family]
				require.EqualValues(t, f.hyps[h.group].family, of.of)
				scope := of.facts.Scope
				require.True(t, scope == strip.AtPixel || scope == strip.ChipsFrom, "light gets past it")
			}
		}
		require.NotZero(t, behind)
	}
}

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

// What families of faults do at their place, by what each kind is. What stays
// lit is at full value, five times as bright as the rest of a probe.
func TestSignaturesOfKinds(t *testing.T) {
	f, err := newField(ringProp("T", 5, 6), nil)
	require.NoError(t, err)
	seen := map[strip.Kind]signature{}
	for i := range f.families {
		if fam := &f.families[i]; fam.places && !fam.behind {
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
		} else if fam.behind {
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
		strip.OpenJoint: {at: dark, beyond: true}, strip.RailLost: {at: dark, beyond: true}, strip.DeadStop: {at: dark, beyond: true}, strip.DeadPixel: {at: dark},
		strip.DeadChannel: {at: names(func(n Name) Name { return n &^ Red })}, strip.StuckChannel: {at: names(func(Name) Name { return Red })}, strip.StuckOn: {at: names(func(Name) Name { return White })},
		strip.Flicker: {at: same, loose: true},
		strip.WrongOrder: {at: names(func(n Name) Name { // red and green exchanged
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
	b := &belief{hyps: make([]hypothesis, 4), misses: []uint8{1, 0, 1, 2}}
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
		b.hyps[1].with = 7
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

// Answers are given, changed and taken back by numbers from 1.
func TestNumbersOfAnswers(t *testing.T) {
	s := begun(t, ringProp("small", 4, 3), 2)
	n := len(s.steps[1].answers)
	for key, ok := range map[int]bool{-1: false, 0: true, 1: true, n: true, n + 1: false} {
		c := s.Clone()
		err := c.Change(2, key)
		assert.Equal(t, ok, err == nil, "answer %d: %v", key, err)
		if ok {
			assert.Equal(t, key, c.Asked()[1].Given)
			assert.Equal(t, 2, c.Answered())
		} else {
			assert.ErrorContains(t, err, "question 2 has no answer")
			assert.Equal(t, s.Log(), c.Log())
		}
	}
	for id, ok := range map[int]bool{0: false, 1: true, 2: true, 3: false} {
		err := s.Clone().Change(id, 1)
		assert.Equal(t, ok, err == nil, "question %d", id)
		if !ok {
			assert.ErrorContains(t, err, "give one of 1 to 2")
		}
	}
	pr, _ := s.Next()
	for key, ok := range map[int]bool{-1: false, 0: true, 1: true, len(pr.Answers): true, len(pr.Answers) + 1: false} {
		assert.Equal(t, ok, s.Clone().Answer(key) == nil, "answer %d", key)
	}
	assert.Equal(t, 3, pr.ID)
	empty := begun(t, ringProp("small", 4, 3), 0)
	assert.ErrorContains(t, empty.Change(1, 1), "no question was answered yet")
	for _, row := range []struct{ in, want float64 }{{0, 0.97}, {1, 0.97}, {-1, 0.97}, {0.5, 0.5}, {0.999, 0.999}} {
		c, err := New(ringProp("small", 4, 3), Options{Enough: row.in})
		require.NoError(t, err)
		assert.Equal(t, row.want, c.opts.Enough)
	}
	for in, want := range map[int]int{-1: 40, 0: 40, 1: 1, 50: 50} {
		c, err := New(ringProp("small", 4, 3), Options{Most: in})
		require.NoError(t, err)
		assert.Equal(t, want, c.opts.Most)
		if in == 1 {
			require.NoError(t, c.Answer(1))
			assert.Equal(t, "1 answer did not settle it", c.Stopped())
		}
	}
}

// Answers in words, of many pixels and of one.
func TestAnswersInWords(t *testing.T) {
	f := &field{prop: &prop.Prop{Runs: []prop.Run{{Name: "a"}, {Name: "b"}}}, pixels: 9}
	one := &field{prop: f.prop, pixels: 1}
	s := &Spec{Kind: AskEven, Base: HueRed}
	for tok, want := range map[Token][2]string{
		Token(Dark): {"dark", "dark"}, Token(White): {"white", "white"}, SeesAll: {"all lit, all red", "lit, red"}, SeesTail: {"lit up to some place, dark from there to the far end", "a part of it stays dark"},
		SeesNone: {"nothing is lit", "it is dark"}, SeesFew: {"all alike but for one to three pixels", "a part of it has another colour"}, SeesElse: {"something else", "something else"},
		seesRun: {"a", "a"}, seesRun + 1: {"b", "b"}, seesRun + 2: {"the prop", "the prop"}, SeesFirst: {"none: it is the very first pixel", "none: it is the very first pixel"},
		sequenceToken([]Name{Red, Green}, false): {"red, then green", "red, then green"}, sequenceToken([]Name{Red}, false): {"only red", "only red"}, sequenceToken([]Name{Red, Green, Blue}, true): {"red, then green, then blue, and more", "red, then green, then blue, and more"},
	} {
		assert.Equal(t, want[0], f.answerText(s, tok))
		assert.Equal(t, want[1], one.answerText(s, tok))
	}
	assert.Equal(t, "none: it comes before the first mark", f.answerText(&Spec{Kind: AskMark}, SeesFirst))
	assert.Equal(t, "Colour of the last?", Spec{Kind: AskPlace, Pixel: -1}.Headline())
	assert.Equal(t, "Colour of pixel 1?", Spec{Kind: AskPlace}.Headline())
	assert.Equal(t, questions[AskPlace].headline, Spec{Kind: AskPlace, Pixel: -4}.Headline())
	answers := f.answersOf(s, []Token{Token(Red), SeesTail, Token(Dark), SeesElse})
	assert.Equal(t, []string{"r", "1", "d", "2"}, []string{answers[0].Press, answers[1].Press, answers[2].Press, answers[3].Press})
	assert.Equal(t, []int{1, 2, 3, 4}, []int{answers[0].Key, answers[1].Key, answers[2].Key, answers[3].Key})
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
	over := run(1)
	over.overruled = true
	assert.Equal(t, prop.Span{First: 0, Last: 29}, walk(over))
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
		f.lay(&o, ft, 0.5)
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

// What is paired with what, found by looking at every hypothesis.
func TestPartnersOfPairs(t *testing.T) {
	f, err := newField(ringProp("T", 5, 4, 2), nil)
	require.NoError(t, err)
	black := f.hyps[slices.IndexFunc(f.hyps, func(h hypothesis) bool { return !h.sound() && h.faults[0].Kind == strip.NoSupply })].print
	var want []int
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.sound() || int(h.twin) != i || h.behind || h.sparks {
			continue
		}
		ft, scope := h.faults[0], strip.FactsOf(h.faults[0].Kind).Scope
		whole := scope == strip.Whole || scope == strip.OneRun || scope == strip.TwoRuns
		far := ft.Kind == strip.Count && (ft.N > 3 || ft.N < -3)
		if whole && !far && h.print != black || scope == strip.ChipsFrom && ft.Pixel == 0 {
			want = append(want, i)
		}
	}
	slices.SortStableFunc(want, func(a, b int) int { return cmp.Compare(f.hyps[b].prior, f.hyps[a].prior) })
	require.Greater(t, len(want), 50)
	assert.Equal(t, want[:min(120, len(want))], f.globals, "likeliest first, 120 at most")
	require.NotZero(t, f.unfed)
	assert.Equal(t, black, f.hyps[f.unfed].print)
	lights := map[strip.Kind]bool{}
	for _, k := range f.glows {
		lights[f.families[k].facts.Kind] = true
	}
	assert.Equal(t, map[strip.Kind]bool{strip.StuckOn: true, strip.StuckChannel: true}, lights, "what lights without data")
	pixels := []int{0, 3, 8, 10}
	for k := range f.families {
		var sit []int
		for i := range f.hyps {
			if h := &f.hyps[i]; int(h.family) == k && f.families[k].places && !f.families[k].behind && int(h.twin) == i && slices.Contains(pixels, h.place()) {
				sit = append(sit, i)
			}
		}
		assert.Equal(t, sit, f.sitting(k, pixels), f.families[k].name)
		for at := -1; at <= 11 && f.families[k].places && !f.families[k].behind; at++ {
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
		if h := &f.hyps[i]; f.families[h.family].places && i%7 == 0 {
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
