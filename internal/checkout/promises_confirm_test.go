package checkout

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// Looks that agree with a fault's at its first odd pixel but not everywhere, by
// hand: two runs, of which the second is green where red was sent from its
// second pixel on, and the third as well.
func TestFalseFriendsByHand(t *testing.T) {
	sound := [][]Name{{Red, Red}, {Red, Blue, Red}, {Red, Red}}
	got := [][]Name{{Red, Red}, {Red, Green, Green, Green}, {Green}}
	run, at := firstChange(got, sound)
	assert.Equal(t, []int{1, 1}, []int{run, at})
	assert.Equal(t, [][][]Name{
		sound,
		{{Red, Red}, {Red, Green, Red}, {Red, Red}},
		{{Red, Red}, {Red, Green, Green}, {Red, Red}},
		{{Red, Red}, {Red, Green, Green}, {Red, Red}},
		{{Red, Red}, {Red, Dark, Red}, {Red, Red}},
	}, lookalikes(got, sound))
	assert.Nil(t, lookalikes(sound, sound))
	run, _ = firstChange([][]Name{{Red}, {}, {Red, Red}}, sound)
	assert.Equal(t, -1, run, "a run that is too short agrees as far as it goes")
	first := [][]Name{{Green, Red}, {Red, Blue, Red}, {Green, Red}}
	assert.Equal(t, [][]Name{{Green, Red}, {Red, Blue, Red}, {Red, Red}}, lookalikes(first, sound)[3], "all runs but the last")
	l := &look{all: []stretch{{Red, 2}, {Red, 1}, {Blue, 1}, {Red, 1}, {Red, 2}}, runAt: []int{0, 1, 4, 5}}
	assert.Equal(t, sound, names(l))
	assert.Equal(t, []Paint{{{HueRed, 2}}, {{HueRed, 1}, {HueBlue, 1}, {HueRed, 1}}, {{HueRed, 2}}}, l.paint())
	assert.True(t, sameRuns(sound, l.paint()))
	for _, friend := range lookalikes(got, sound)[1:] {
		assert.False(t, sameRuns(friend, l.paint()))
	}
}

// What is answered to a confirming look, and which hues look white.
func TestConfirmingAnswers(t *testing.T) {
	for runs, want := range map[int]int{1: 3, 2: 4, 4: 6, 5: 6, 30: 6} {
		f := &field{sizes: make([]int, runs)}
		answers := f.confirmAnswers()
		require.Len(t, answers, want, "%d runs", runs)
		assert.Equal(t, SeesAsDrawn, answers[0])
		assert.Equal(t, seesRun, answers[1])
		assert.Equal(t, seesRun+Token(want-3), answers[want-2])
		assert.Equal(t, SeesElse, answers[want-1])
	}
	for order, want := range map[prop.Order][]Hue{"GRB": {HueWhite}, "GRBW": {HueWhite, HueWarm}, "RGBWC": {HueWhite, HueWarm, HueCool}, "RGBC": {HueWhite, HueCool}} {
		f := &field{prop: &prop.Prop{Chip: prop.Chip{Order: order}}}
		assert.Equal(t, want, f.whites())
		assert.Equal(t, 3*len(want), f.turns())
	}
	s := &Session{field: &field{prop: &prop.Prop{Chip: prop.Chip{Order: "GRBW"}}}}
	white, warm := &Spec{Kind: AskEven, Base: HueWhite}, &Spec{Kind: AskEven, Base: HueWarm}
	assert.Equal(t, []int{3, 1}, []int{s.untestedChannels(white), s.untestedChannels(warm)})
	s.steps = []step{{spec: Spec{Kind: AskEven, Base: HueRed}, given: 0}, {spec: Spec{Kind: AskEven, Base: HueGreen}, given: -1}, {spec: Spec{Kind: AskPlace, Base: HueBlue}, given: 0}}
	assert.Equal(t, []int{2, 1}, []int{s.untestedChannels(white), s.untestedChannels(warm)}, "green was not told, and blue not sent to all")
	refutes := func(given int, answers ...Token) step {
		return step{spec: Spec{Kind: AskConfirm}, given: given, answers: answers}
	}
	again := refutes(0, SeesElse)
	again.spec.Again = true
	over := refutes(0, SeesElse)
	over.overruled = true
	assert.Equal(t, 2, refuted([]step{refutes(0, SeesAsDrawn), refutes(0, SeesElse), refutes(-1, SeesElse), again, over, refutes(1, SeesAsDrawn, seesRun), {spec: Spec{Kind: AskEven}, answers: []Token{SeesElse}}}))
}

// In every landmark picture each run has its own ends: green first, white last
// where it has four pixels and more, and two halves that differ from run to run.
func TestLandmarksOfRuns(t *testing.T) {
	f, err := newField(ringProp("T", 3, 4, 9), nil)
	require.NoError(t, err)
	for turn := range f.turns() {
		pt := f.landmarked(turn)
		assert.NotEqual(t, pt[0], pt[2], "two halves")
		assert.Equal(t, pt[1], pt[2], "the second half of three has two")
		assert.Equal(t, []Hue{HueGreen, HueWhite}, []Hue{pt[3], pt[6]})
		assert.Equal(t, []Hue{HueGreen, HueWhite}, []Hue{pt[7], pt[15]})
		assert.NotEqual(t, pt[4], pt[8], "another pair of colours in the next run")
		assert.Equal(t, pt[8], pt[10], "the first half ends with its fourth pixel")
		assert.NotEqual(t, pt[10], pt[11])
		assert.Equal(t, pt[11], pt[14])
	}
}

// Pixel 1 of a roll call shows red, green and blue in its first looks, whatever
// the palette; what lies beyond the most is dark, and no two pixels show alike.
func TestRollCallNumbers(t *testing.T) {
	for _, pal := range []Palette{SixColours, ThreeColours} {
		for _, most := range []int{1, 27, 216, 217, 1000} {
			r, err := NewRollCall(most, pal, false)
			require.NoError(t, err)
			assert.Equal(t, []Hue{HueRed, HueGreen, HueBlue}, []Hue{r.hueAt(0, 0), r.hueAt(0, 1), r.hueAt(0, 2)}, "%d", most)
			seen := map[string]int{}
			for i := range most {
				var b strings.Builder
				for look := range r.Looks() {
					b.WriteString(string(r.hueAt(i, look)) + " ")
				}
				if o, ok := seen[b.String()]; ok {
					t.Fatalf("pixels %d and %d of %d show %s", o, i, most, b.String())
				}
				seen[b.String()] = i
			}
			for look := range r.Looks() {
				assert.Equal(t, HueDark, r.hueAt(most, look))
				f := r.Show(look)(nil, most+1, 0)
				require.Len(t, f, most+1)
				assert.Equal(t, r.hueAt(most-1, look).Colour(), f[most-1])
				assert.True(t, f[most].Dark())
			}
			assert.Equal(t, HueDark, r.hueAt(0, r.Looks()+1))
			assert.Equal(t, most, r.most)
		}
	}
	r, err := NewRollCall(5, LitOrDark, true)
	require.NoError(t, err)
	assert.Equal(t, 5, r.Looks(), "all lit, three digits, one to check")
	for i := range 5 {
		assert.Equal(t, HueWhite, r.hueAt(i, 0))
	}
	assert.Equal(t, "Put a finger on the last pixel that is lit.", r.Question(0))
	assert.Equal(t, "Is the pixel at your finger lit?", r.Question(1))
	for most, ok := range map[int]bool{-1: false, 0: false, 1: true, 100_000: true, 100_001: false} {
		_, err := NewRollCall(most, SixColours, false)
		assert.Equal(t, ok, err == nil, "%d", most)
	}
	for p, ok := range map[Palette]bool{LitOrDark: true, LitOrDark + 1: false} {
		_, err := NewRollCall(9, p, false)
		assert.Equal(t, ok, err == nil)
	}
	ring, err := NewRollCall(60, SixColours, false)
	require.NoError(t, err)
	assert.False(t, ring.QuickerThanCounting(70), "three looks for digits and two for the order, of seven seconds, are 35 s, as 70 pixels of half a second")
	assert.True(t, ring.QuickerThanCounting(71))
	assert.Equal(t, "Which colour is the last pixel that is lit?", ring.Question(0))
	_, err = ring.Count([]Hue{HueRed, HueRed}, nil)
	assert.ErrorContains(t, err, "2 colours were given for 3 looks: go through the looks once more")
	_, err = ring.Count([]Hue{HueRed, HueRed, HueRed}, []Hue{HueRed, HueGreen})
	assert.Error(t, err, "three colours of the first pixel are needed")
	n, err := ring.Count([]Hue{HueGreen, HueRed, HueBlue}, []Hue{HueGreen, HueRed, HueBlue})
	require.NoError(t, err)
	assert.Equal(t, []int{1}, n, "red and green exchanged on the strip")
}

// Before a verdict on any kind of fault there is one look more that shows it, or none
// where no look can: pixels that flash are in no picture, nor is a loose contact, and
// how many pixels lie past an end is not known. A fall of voltage shows at both ends,
// and where nothing is thought to light every white is tried.
func TestTheLookBeforeAVerdict(t *testing.T) {
	s, err := New(prop.Porthole(), Options{})
	require.NoError(t, err)
	tried := map[strip.Kind]bool{}
	for i := range s.field.hyps {
		h := &s.field.hyps[i]
		p := s.belief.posterior()
		p.top = i
		if h.family < 0 {
			assert.Nil(t, s.confirm(p), "a sound prop")
			continue
		}
		kind := h.faults[0].Kind
		if tried[kind] {
			continue
		}
		tried[kind] = true
		got := Kind("none")
		if c := s.confirm(p); c != nil {
			got = c.spec.Kind
		}
		switch {
		case kind == strip.Sag:
			assert.Equal(t, AskFade, got)
		case openEnded(h.faults), kind == strip.Flicker, kind == strip.Sparkle:
			assert.Equal(t, Kind("none"), got, "%v", h.faults)
		case kind == strip.NoSupply, kind == strip.WrongEnd, kind == strip.WrongAddress, kind == strip.RunBackwards && h.faults[0].Run == 0,
			(kind == strip.OpenJoint || kind == strip.RailLost || kind == strip.DeadStop) && h.faults[0].Pixel == 0:
			assert.Equal(t, AskEven, got, "%v", h.faults)
		default:
			assert.Equal(t, AskConfirm, got, "%v", h.faults)
		}
	}
	assert.Greater(t, len(tried), 20)
}

// Of two answers to one question the later counts, also where it was the first of all.
func TestTheLaterAnswerCounts(t *testing.T) {
	for _, same := range []bool{true, false} {
		s := begun(t, prop.Porthole(), 1)
		first := s.steps[0]
		again := first.spec
		again.Again = true
		given := first.given
		if !same {
			given = (given + 1) % len(first.answers)
		}
		s.take(step{spec: again, answers: first.answers, given: given})
		assert.Equal(t, !same, s.steps[0].overruled)
		assert.False(t, s.steps[1].overruled)
	}
}
