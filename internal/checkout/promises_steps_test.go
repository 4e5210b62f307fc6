package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// Probes share a scene where picture and level are the same, and never where the
// picture is what a hypothesis would look like.
func TestProbesThatShareAScene(t *testing.T) {
	s, err := New(prop.Porthole(), Options{})
	require.NoError(t, err)
	red, blue := even(HueRed, s.field.pixels), even(HueBlue, s.field.pixels)
	specs := []*Spec{
		{Kind: AskEven, Paint: red, Level: 0.2, Base: HueRed},
		{Kind: AskPlace, Paint: red, Level: 0.2},
		{Kind: AskEven, Paint: blue, Level: 0.2, Base: HueBlue},
		{Kind: AskFade, Paint: red, Level: 0.5},
		{Kind: AskConfirm, Paint: red, Level: 0.2, Expected: []Paint{red}},
		{Kind: AskConfirm, Paint: red, Level: 0.2, Expected: []Paint{blue}},
		{Kind: AskPlace, Paint: blue, Level: 0.2, Pixel: -1},
		{Kind: AskPlace, Paint: red, Level: 0.2, Pixel: -1},
	}
	var p strip.Pieces
	scenes, of := s.scenes(specs, &p)
	assert.Equal(t, [][]int{{0, 1, 7}, {2, 6}, {3}, {4}, {5}}, of)
	assert.Len(t, scenes, 5)
}

// Whether nothing was lit in any look so far: an answer that is not sure says nothing
// of it, and which key the answer had does not count.
func TestNothingLit(t *testing.T) {
	at := func(given int, answers ...Token) step { return step{given: given, answers: answers} }
	for _, row := range []struct {
		steps []step
		want  bool
	}{
		{nil, true}, {[]step{at(0, SeesNone, SeesAll)}, true}, {[]step{at(1, SeesAll, SeesNone)}, true},
		{[]step{at(0, SeesAll, SeesNone)}, false}, {[]step{at(-1, SeesNone)}, false},
		{[]step{at(0, SeesNone), at(1, SeesNone, SeesFew)}, false}, {[]step{at(0, SeesNone), at(-1, SeesNone)}, false},
	} {
		assert.Equal(t, row.want, (&Session{steps: row.steps}).nothingLit(), "%v", row.steps)
	}
}

// A fault that the list lacks fits as well as an explanation only where it contradicts
// no more answers, the first of those offered included.
func TestWhatIsNotListedFitsTheAnswers(t *testing.T) {
	s := begun(t, prop.Porthole(), 3)
	given := map[int]bool{}
	for _, st := range s.steps {
		given[st.given] = true
	}
	require.True(t, given[0], "an answer that is the first of those offered")
	dead := &hypothesis{faults: []strip.Fault{{Kind: strip.DeadPixel, Pixel: 40}}}
	all := s.field.unlistedFaults(dead)
	for misses := range 3 {
		var want []unlistedFault
		for _, g := range all {
			var v unlistedView
			against := 0
			for k := range s.steps {
				st := &s.steps[k]
				v.watch(s.field, &st.spec)
				if st.answers[st.given] != v.sees(&g) {
					against++
				}
			}
			if against <= misses {
				want = append(want, g)
			}
		}
		got := s.fitting(dead, misses)
		require.Len(t, got, len(want), "%d misses", misses)
		for i := range got {
			assert.Equal(t, want[i].from, got[i].from)
			assert.Equal(t, want[i].to, got[i].to)
		}
	}
}

// What an explanation has against it are the answers that hold: not one that is not
// sure, and of two answers to one question only the later.
func TestWhatSpeaksAgainst(t *testing.T) {
	s := begun(t, prop.Porthole(), 1, strip.Fault{Kind: strip.NoSupply})
	require.Equal(t, SeesNone, s.steps[0].answers[s.steps[0].given])
	sound := 0
	require.True(t, s.belief.hyps[sound].sound())
	assert.Len(t, s.against(sound), 1)
	s.take(step{spec: s.steps[0].spec, answers: s.steps[0].answers, given: -1})
	assert.Len(t, s.against(sound), 1, "not sure")
	again := s.steps[0].spec
	again.Again = true
	s.take(step{spec: again, answers: s.steps[0].answers, given: s.steps[0].given})
	assert.Len(t, s.against(sound), 1, "the later answer says it")
	s = begun(t, prop.Porthole(), 1, strip.Fault{Kind: strip.NoSupply})
	s.take(step{spec: again, answers: s.steps[0].answers, given: 0})
	require.Equal(t, SeesAll, s.steps[1].answers[0])
	assert.Empty(t, s.against(sound), "it was taken back")
}

// A fall of voltage beside another fault is never certain, and likely at best where the far end was
// not seen to be dimmer; nor is a count certain that may be higher, however many causes look alike; a
// suspect without a cause is no sound prop.
func TestWhatIsNeverCertain(t *testing.T) {
	s := begun(t, prop.Porthole(), 1)
	dead, sag := strip.Fault{Kind: strip.DeadPixel, Pixel: 3}, strip.Fault{Kind: strip.Sag, N: 1500}
	more := strip.Fault{Kind: strip.Count, Run: 2, N: 4, OrMore: true}
	falls := strengths{low: 1000, high: 2000}
	seen := s.Clone()
	seen.steps = append(seen.steps, step{spec: Spec{Kind: AskFade}, answers: []Token{SeesAlike, SeesFades}, given: 1})
	for _, row := range []struct {
		su   Suspect
		want Confidence
	}{
		{Suspect{Causes: [][]strip.Fault{{dead}}}, Certain},
		{Suspect{Causes: [][]strip.Fault{{dead}, {sag}}}, Certain},
		{Suspect{Causes: [][]strip.Fault{{sag}}, strong: falls}, Certain},
		{Suspect{Causes: [][]strip.Fault{{dead, sag}}, strong: falls}, VeryLikely},
		{Suspect{Causes: [][]strip.Fault{{dead, sag}, {sag, dead}}, strong: falls}, VeryLikely},
		{Suspect{Causes: [][]strip.Fault{{more}}}, VeryLikely},
		{Suspect{Causes: [][]strip.Fault{{more}, {dead}}}, VeryLikely},
	} {
		row.su.Share, row.su.fitsAll = 0.99999, true
		assert.Equal(t, row.want, seen.finding(row.su).Sure, "%v", row.su.Causes)
		if row.su.strong == falls && len(row.su.Causes[0]) > 1 {
			row.want = Likely
		}
		assert.Equal(t, row.want, s.finding(row.su).Sure, "%v, no fall seen", row.su.Causes)
	}
	assert.False(t, Suspect{}.Sound())
}

// Before any answer every listed strength of a fall of voltage fits, and a prop without
// one has none.
func TestStrengthsThatFit(t *testing.T) {
	s := begun(t, prop.Porthole(), 0)
	low, high, at := 1<<30, 0, -1
	for i := range s.field.hyps {
		if h := &s.field.hyps[i]; h.sag && len(h.faults) == 1 {
			low, high, at = min(low, h.faults[0].N), max(high, h.faults[0].N), i
		}
	}
	require.GreaterOrEqual(t, at, 0)
	assert.Less(t, low, high)
	assert.Equal(t, strengths{low, high}, s.belief.strengths(int32(at)))
	assert.Equal(t, strengths{}, s.belief.strengths(0))
}

// An answer that an explanation contradicts is asked for once more, whichever key it
// had; one that was asked for twice or not known is not.
func TestAskedOnceMore(t *testing.T) {
	for _, row := range []struct {
		is, thought []strip.Fault
	}{
		{nil, []strip.Fault{{Kind: strip.NoSupply}}},
		{[]strip.Fault{{Kind: strip.NoSupply}}, nil},
	} {
		s := begun(t, prop.Porthole(), 1, row.is...)
		top := -1
		for i := range s.field.hyps {
			if h := &s.field.hyps[i]; len(h.faults) == len(row.thought) && (h.sound() || h.faults[0] == row.thought[0]) {
				top = i
				break
			}
		}
		require.GreaterOrEqual(t, top, 0)
		c := s.contradictedQuestion(top)
		require.NotNil(t, c, "answer %d", s.steps[0].given)
		assert.True(t, c.spec.Again)
		c.spec.Again = false
		assert.Equal(t, s.steps[0].spec.key(), c.spec.key())
		c.spec.Again = true
		s.take(step{spec: *c.spec, answers: c.answers, given: -1})
		assert.Nil(t, s.contradictedQuestion(top), "it was asked twice")
	}
	s := begun(t, prop.Porthole(), 0)
	next, ok := s.Next()
	require.True(t, ok)
	s.take(step{spec: next.Spec, answers: s.next.answers, given: -1})
	assert.Nil(t, s.contradictedQuestion(0), "not known")
}
