package checkout

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// answerAll answers a check-out of a sound prop, and not sure where the question is of
// one of these kinds.
func answerAll(t *testing.T, p *prop.Prop, opts Options, unsure ...Kind) *Session {
	t.Helper()
	s, err := New(p, opts)
	require.NoError(t, err)
	var b builder
	for pr, ok := s.Next(); ok; pr, ok = s.Next() {
		k := key(s.field, &pr, s.field.sound, &b)
		if slices.Contains(unsure, pr.Spec.Kind) {
			k = NotSure
		}
		require.NoError(t, s.Answer(k))
	}
	return s
}

// A sound prop is not signed off where a required look got no certain answer; the finding
// names the look, and an answer to it signs the prop off. A camera leaves those looks to
// tests.
func TestNotSureAtARequiredLookSignsNothingOff(t *testing.T) {
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant(), prop.BuoyLamp(), single("line", 5)} {
		s := answerAll(t, p, Options{})
		f := s.Findings()[0]
		require.True(t, f.Good && f.Sure.Firm(), p.Name)
		assert.NotContains(t, f.Untried, "Not signed off", p.Name)
		for _, kind := range []Kind{AskSteady, AskFade, AskEven, AskRuns} {
			s := answerAll(t, p, Options{}, kind)
			at := slices.IndexFunc(s.steps, func(st step) bool { return st.spec.Kind == kind })
			if at < 0 || kind == AskFade && !s.field.fadeShows() {
				continue // a bulb has no far end and no runs; five pixels have no fall of voltage to see
			}
			f := s.Findings()[0]
			require.True(t, f.Good, "%s, %s: %s", p.Name, kind, f.Title)
			assert.False(t, f.Sure.Firm(), "%s, %s", p.Name, kind)
			assert.LessOrEqual(t, f.Percent, 94, "%s, %s", p.Name, kind)
			assert.Contains(t, f.Untried, "Not signed off: no certain answer to", "%s, %s", p.Name, kind)
			if kind == AskSteady {
				steady := slices.Index(s.steps[at].answers, SeesSteady)
				require.NoError(t, s.Change(at+1, steady+1))
				finish(t, s, s.field.sound) // looks in which each fault shows a second time
				assert.True(t, s.Findings()[0].Sure.Firm(), p.Name)
				f := answerAll(t, p, Options{ByCamera: true}, kind).Findings()[0]
				assert.True(t, f.Good && f.Sure.Firm(), "%s by a camera", p.Name)
			}
		}
	}
}

// A check-out that is left before the last required look signs nothing off.
func TestLeavingEarlySignsNothingOff(t *testing.T) {
	for _, p := range []*prop.Prop{prop.Porthole(), prop.BuoyLamp(), single("line", 5), ringProp("two", 2, 3)} {
		s, err := New(p, Options{})
		require.NoError(t, err)
		var b builder
		for pr, ok := s.Next(); ok; pr, ok = s.Next() {
			if f := s.Findings()[0]; len(s.openLooks()) > 0 {
				assert.False(t, f.Good && f.Sure.Firm(), "%s after %d answers: %s", p.Name, s.Answered(), f.Chance())
			}
			require.NoError(t, s.Answer(key(s.field, &pr, s.field.sound, &b)))
		}
		assert.Empty(t, s.openLooks(), p.Name)
	}
}

// A required look that was answered with not sure is asked once more at the end, and not a
// third time; a certain answer then signs the prop off.
func TestARequiredLookIsAskedOnceMore(t *testing.T) {
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant(), prop.BuoyLamp(), single("line", 5)} {
		for _, kind := range []Kind{AskSteady, AskFade, AskEven, AskRuns} {
			for _, sureLater := range []bool{true, false} {
				s, err := New(p, Options{})
				require.NoError(t, err)
				var b builder
				unsure := map[string]int{}
				for pr, ok := s.Next(); ok; pr, ok = s.Next() {
					k, first := key(s.field, &pr, s.field.sound, &b), pr.Spec.first()
					if pr.Spec.Kind == kind && (!sureLater || !pr.Spec.Again) {
						unsure[first.key()]++
						k = NotSure
					}
					require.NoError(t, s.Answer(k))
				}
				f := s.Findings()[0]
				require.True(t, f.Good, "%s, %s", p.Name, kind)
				if sureLater {
					assert.True(t, f.Sure.Firm() && len(s.openLooks()) == 0, "%s, %s: %s, %s", p.Name, kind, f.Chance(), f.Untried)
				}
				for look, n := range unsure {
					assert.LessOrEqual(t, n, 2, "%s, %s: %s", p.Name, kind, look)
				}
			}
		}
	}
}

// One wrong answer of a sound prop, taken back when it was asked again, leaves room for light that
// comes and goes: it is bent twice and more, and not signed off. Who made a slip changes the answer,
// and it is. A wrong yes to flicker is asked about before other questions, so that it does not end as
// a fault that is not known.
func TestAnAnswerTakenBackLeavesRoom(t *testing.T) {
	for _, row := range []struct {
		p     *prop.Prop
		kind  Kind
		wrong []Token
		right Token
	}{
		{prop.Porthole(), AskEven, []Token{SeesNone, SeesSparkles, SeesFew}, SeesAll},
		{prop.Porthole(), AskRuns, []Token{seesRun + 1}, SeesAsDrawn},
		{prop.BuoyLamp(), AskEven, []Token{SeesNone}, SeesAll},
		{prop.Porthole(), AskSteady, []Token{SeesComes, SeesComesAll, SeesSparkles, SeesElse}, SeesSteady},
		{prop.BuoyLamp(), AskSteady, []Token{SeesComesAll}, SeesSteady},
	} {
		for _, wrong := range row.wrong {
			what := []any{"%s, %s, %s", row.p.Name, row.kind, wrong}
			s := answeredOnce(t, row.p, row.kind, wrong)
			f := s.Findings()[0]
			require.True(t, f.Good, what...)
			assert.LessOrEqual(t, f.Percent, 94, what...)
			assert.False(t, f.Sure.Firm(), what...)
			look, _ := f.Withheld()
			assert.Contains(t, look, "has two answers", what...)
			bent := 0
			for i := range s.steps {
				if st := &s.steps[i]; st.given >= 0 && st.answers[st.given] == SeesSteady {
					bent++
				}
			}
			assert.GreaterOrEqual(t, bent, 2, what...)
			at := slices.IndexFunc(s.steps, func(st step) bool { return st.overruled })
			require.NoError(t, s.Change(at+1, 1+slices.Index(s.steps[at].answers, row.right)))
			assert.True(t, s.Findings()[0].Sure.Firm(), "the slip is changed")
		}
	}
}

// A fault that an answer contradicts which was taken back is never certain, and flicker is asked about.
func TestAFaultWithAnAnswerTakenBackIsNotCertain(t *testing.T) {
	p := prop.Porthole()
	st, err := strip.New(p, strip.Fault{Kind: strip.DeadPixel})
	require.NoError(t, err)
	s, err := New(p, Options{})
	require.NoError(t, err)
	var b builder
	for pr, ok := s.Next(); ok; pr, ok = s.Next() {
		k := key(s.field, &pr, st, &b)
		if len(s.steps) == 0 {
			k = 1 + slices.IndexFunc(pr.Answers, func(a Answer) bool { return a.Sees == SeesAll })
		}
		require.NoError(t, s.Answer(k))
	}
	require.True(t, s.steps[0].overruled)
	f := s.Findings()[0]
	assert.True(t, isNamed(f, st.Faults()), f.Title)
	assert.Equal(t, VeryLikely, f.Sure)
	assert.LessOrEqual(t, f.Percent, 97)
	assert.True(t, slices.ContainsFunc(s.steps, func(st step) bool { return st.spec.Kind == AskSteady }))
}

// answeredOnce answers a check-out of a sound prop, but for the first question of a kind.
func answeredOnce(t *testing.T, p *prop.Prop, kind Kind, wrong Token) *Session {
	t.Helper()
	s, err := New(p, Options{})
	require.NoError(t, err)
	var b builder
	slips := 0
	for pr, ok := s.Next(); ok; pr, ok = s.Next() {
		k := key(s.field, &pr, s.field.sound, &b)
		if pr.Spec.Kind == kind && slips == 0 {
			slips++
			k = 1 + slices.IndexFunc(pr.Answers, func(a Answer) bool { return a.Sees == wrong })
			require.Positive(t, k)
		}
		require.NoError(t, s.Answer(k))
	}
	require.Equal(t, 1, slips)
	return s
}

// One wrong answer about where a flicker begins does not move it: the place is asked for twice, with
// other colours, and it is named where it is, whichever look was answered wrongly.
func TestOneWrongAnswerMovesNoFlicker(t *testing.T) {
	p := ringProp("9+4", 9, 4)
	base, err := New(p, Options{})
	require.NoError(t, err)
	slips := 0
	for _, at := range []int{0, 7} {
		st, err := strip.New(p, strip.Fault{Kind: strip.Flicker, Pixel: at})
		require.NoError(t, err)
		right := base.Clone()
		finish(t, right, st)
		for q, step := range right.steps {
			if step.spec.Kind != AskStaysLit {
				continue
			}
			for k := range step.answers {
				if k == step.given {
					continue
				}
				slips++
				s := base.Clone()
				for _, before := range right.steps[:q] {
					s.Next()
					require.NoError(t, s.Answer(before.given+1))
				}
				s.Next()
				require.NoError(t, s.Answer(k+1))
				finish(t, s, st)
				if f := s.Findings()[0]; f.Sure.Firm() {
					assert.True(t, isNamed(f, st.Faults()), "pixel %d, %s to question %d: %s", at+1, step.answers[k], q+1, f.Title)
				}
			}
		}
	}
	assert.Greater(t, slips, 9)
}

// What is said to be left is what is asked, as soon as a prop is most likely sound: no look is "likely the last" with
// four more to come.
func TestAnswersLeftOfASoundProp(t *testing.T) {
	for _, p := range append(prop.Demos(), single("line", 5)) {
		s, err := New(p, Options{})
		require.NoError(t, err)
		var b builder
		var opens []Open
		for pr, ok := s.Next(); ok; pr, ok = s.Next() {
			opens = append(opens, s.Open())
			require.NoError(t, s.Answer(key(s.field, &pr, s.field.sound, &b)))
		}
		for i, o := range opens {
			if left := len(opens) - i; o.Sound > 0.8 {
				assert.InDelta(t, left, o.Left, 1, "%s, question %d of %d", p.Name, i+1, len(opens))
			}
		}
		assert.Equal(t, 1, opens[len(opens)-1].Left, p.Name)
	}
}
