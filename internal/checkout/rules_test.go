package checkout

import (
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
				if s.steps[at].given < 0 {
					required := (&proposer{f: s.field}).plain()
					require.True(t, slices.ContainsFunc(required, func(r *Spec) bool { return r.key() == first.key() }), "who was not sure is asked once more only what a sign-off wants")
				} else if was := s.steps[at].answers[s.steps[at].given]; !saysYes(was) && was != SeesSteady { // a yes that all hangs on is asked for twice, and whether it is steady
					again++
				}
				differ := s.steps[i].given >= 0 && s.steps[at].given >= 0 && s.steps[i].answers[s.steps[i].given] != s.steps[at].answers[s.steps[at].given]
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
		require.Equal(t, s.Suspects(), r.Suspects())
		came.add(s)
	}
	figures(t, "%v", &came)
	assert.Equal(t, 3, most, "some of them were contradicted so often")
}

// Whatever is answered of a small prop, a question is asked once more only after its first time, and
// a prop that seems sound is asked about flicker before it is asked about that again.
func TestOnceMoreComesAfterOnce(t *testing.T) {
	n := 0
	for _, row := range []struct {
		p    *prop.Prop
		from uint64 // of 40 seeds
	}{{single("one", 1), 0}, {prop.BuoyLamp(), 850}, {single("two", 2), 0}} {
		for seed := row.from; seed < row.from+40; seed++ {
			p, s := row.p, guesser(t, row.p, seed, Options{Most: 25}, func(*Session) {})
			asked := map[string]bool{}
			for i := range s.steps {
				spec := s.steps[i].spec
				first := spec.first()
				require.False(t, asked[spec.key()], "%s, %d: asked twice", p.Name, seed)
				require.True(t, !spec.Again || asked[first.key()], "%s, %d: once more before once", p.Name, seed)
				asked[spec.key()] = true
				if spec.Again && spec.Kind == AskSteady {
					n++
				}
			}
		}
	}
	assert.Positive(t, n, "some were asked about flicker twice")
}

// unknownRules: nothing known explains the answers where all that stands
// contradicts one, or is less likely than a fault that is none of the list; not
// while the check-out goes on and what stands is likelier, and never before an
// answer.
func unknownRules(t *testing.T, s *Session) {
	t.Helper()
	standing := s.suspects(0.001)
	for _, su := range standing { // who fits all answers, and as well as the likeliest
		var all, as bool
		for i, w := range s.now.each {
			if h := &s.belief.hyps[i]; w >= 1e-6 && h.group == s.belief.hyps[su.best].group {
				all, as = all || s.belief.contradicted[i] == 0, as || s.belief.contradicted[i] <= s.belief.contradicted[s.now.top]
			}
		}
		require.Equal(t, []bool{all, as}, []bool{su.fitsAll, su.Fits})
	}
	top := s.now.top
	fits := s.belief.contradicted[top] == 0 || s.belief.hyps[top].sag && len(standing) > 0 && standing[0].fitsAll
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
			if _, miss := st.likelihood(&s.belief.hyps[top], s.predictionsOf(k).of(&s.belief, s.field, &st.spec, top)); miss {
				require.Contains(t, u.Unknown.Against, s.answerLine(k))
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
	answers := offeredAnswers(spec, seen, share)
	due := map[int]float64{}
	n := len(answers)
	if tie {
		mine := answerIndex(answers, reads(s.now.top))
		if mine < 0 {
			return 0
		}
		for i, t := range seen {
			switch at := answerIndex(answers, t); {
			case at == mine:
				due[0] += share[i]
			case at >= 0:
				due[1] += share[i]
			}
		}
	} else {
		few := likelyAnswers(spec, seen, share)
		n = len(few)
		for i, t := range seen {
			if at := answerIndex(few, t); at >= 0 {
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
		Token(Dark): {"dark", "dark"}, Token(White): {"white", "white"}, SeesAll: {"all lit, all red", "lit, red"}, SeesTail: {"lit at the start, dark from some pixel on", "a part of it stays dark"},
		SeesNone: {"nothing is lit", "it is dark"}, SeesFew: {"one to three pixels differ from the rest", "a part of it has another colour"}, SeesElse: {"something else", "something else"},
		seesRun: {"a", "a"}, seesRun + 1: {"b", "b"}, seesRun + 2: {"the prop", "the prop"}, SeesFirst: {"none: it is the very first pixel", "none: it is the very first pixel"},
		sequenceToken([]Name{Red, Green}, false): {"red, then green", "red, then green"}, sequenceToken([]Name{Red}, false): {"only red", "only red"}, sequenceToken([]Name{Red, Green, Blue}, true): {"red, then green, then blue, and more", "red, then green, then blue, and more"},
	} {
		assert.Equal(t, want[0], f.answerText(s, tok))
		assert.Equal(t, want[1], one.answerText(s, tok))
	}
	assert.Equal(t, "none: it comes before the first mark", f.answerText(&Spec{Kind: AskMark}, SeesFirst))
	assert.Equal(t, []string{"Last pixel: colour?", "Last: colour?", "Last one?"}, Spec{Kind: AskPlace, Pixel: -1}.Large())
	assert.Equal(t, []string{"Colour of pixel 1?", "Pixel 1: colour?", "Pixel 1?"}, Spec{Kind: AskPlace}.Large())
	assert.Equal(t, questions[AskPlace].large, Spec{Kind: AskPlace, Pixel: -4}.Large())
	answers := f.answersOf(s, []Token{Token(Red), SeesTail, Token(Dark), SeesElse})
	assert.Equal(t, []string{"r", "1", "d", "2"}, []string{answers[0].Press, answers[1].Press, answers[2].Press, answers[3].Press})
	assert.Equal(t, []int{1, 2, 3, 4}, []int{answers[0].Key, answers[1].Key, answers[2].Key, answers[3].Key})
}
