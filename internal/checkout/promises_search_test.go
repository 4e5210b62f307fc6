package checkout

import (
	"fmt"
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

// Frames of noise tell pixels and channels apart: no value is 0, which a dark
// channel has too, and all others come; no two channels, pixels or frames are
// alike.
func TestNoiseTellsAllApart(t *testing.T) {
	const n = 20_000
	f := &field{pixels: n}
	frames := [2]patterns.Frame{f.noise(1), f.noise(2)}
	seen := map[[patterns.NumChannels]uint8]bool{}
	lit := map[uint8]bool{}
	for _, frame := range frames {
		alike := map[[2]patterns.Channel]int{}
		for _, c := range frame {
			var values [patterns.NumChannels]uint8
			for a := range patterns.Channel(patterns.NumChannels) {
				values[a] = c.Get(a)
				require.NotZero(t, values[a])
				lit[values[a]] = true
				for b := range a {
					if values[a] == values[b] {
						alike[[2]patterns.Channel{a, b}]++
					}
				}
			}
			require.False(t, seen[values], "two pixels alike")
			seen[values] = true
		}
		for ab, k := range alike {
			require.InDelta(t, n/255.0, k, 6*math.Sqrt(n/255.0), "channels %v and %v", ab[0], ab[1])
		}
	}
	require.Len(t, lit, 255, "all values that light")
	f.dark = make([]bool, n)
	f.dark[3] = true
	for i, c := range f.noise(1) {
		require.Equal(t, i == 3, c == (patterns.Colour{}), "dark where no one looks, and there alone")
	}
}

// Of groups that are equally likely the first leads, and of its hypotheses the
// first; where none is in the running the sound prop does.
func TestLeadOfEquals(t *testing.T) {
	b := &belief{hyps: make([]hypothesis, 5)}
	for i, g := range []int32{0, 1, 2, 1, 2} {
		b.hyps[i].group = g
	}
	for _, row := range []struct {
		each  []float64
		top   int
		share float64
	}{
		{[]float64{0.2, 0.2, 0.2, 0.2, 0.2}, 1, 0.4},
		{[]float64{0.4, 0.2, 0.1, 0.2, 0.1}, 0, 0.4},
		{[]float64{0, 0.1, 0.2, 0.4, 0.3}, 3, 0.5},
		{[]float64{0, 0.1, 0.3, 0.3, 0.3}, 2, 0.6},
		{[]float64{0, 0, 0, 0, 0}, 0, 0},
	} {
		p := &posterior{each: row.each}
		b.findTop(p)
		assert.Equal(t, row.top, p.top, "%v", row.each)
		assert.InDelta(t, row.share, p.share, 1e-12, "%v", row.each)
	}
	for unknown, part := range map[float64]float64{0: 1, 0.4: 1, 0.5: 0.5, 0.75: 0.25, 1: 1} {
		got := (&posterior{unknown: unknown}).givenKnown([]float64{0.1, 0.2})
		assert.InDeltaSlice(t, []float64{0.1 / part, 0.2 / part}, got, 1e-12, "unknown %g", unknown)
	}
}

// It is no use to go on when three explanations failed their confirming look;
// or when a fault that is none of the list is likelier than any of it, after six
// answers that nothing fits if that is nearly certain, after twelve if not, and
// after twenty where something fits.
func TestWhenItIsNoUseToGoOn(t *testing.T) {
	plain := step{spec: Spec{Kind: AskLastLit}, answers: []Token{Token(Red), SeesElse}}
	no := step{spec: Spec{Kind: AskConfirm}, answers: []Token{SeesAsDrawn, SeesElse}, given: 1}
	lost := func(refuted, n int, unknown float64, fits bool) bool {
		s := &Session{steps: append(slices.Repeat([]step{no}, refuted), slices.Repeat([]step{plain}, n-refuted)...)}
		s.belief.hyps, s.belief.contradicted = make([]hypothesis, 1), []uint8{1}
		if fits {
			s.belief.contradicted[0] = 0
		}
		return s.noneExplains(&posterior{each: []float64{1 - unknown}, share: 1 - unknown, unknown: unknown})
	}
	assert.True(t, lost(3, 3, 0, true))
	assert.False(t, lost(2, 19, 0.95, true))
	for n := range 30 {
		assert.False(t, lost(0, n, 0.5, false), "as likely as what is known")
		assert.Equal(t, n >= 6, lost(0, n, 0.9, false), "%d answers", n)
		assert.Equal(t, n >= 12, lost(0, n, 0.89, false), "%d answers", n)
		assert.Equal(t, n >= 12, lost(0, n, 0.51, false), "%d answers", n)
		assert.Equal(t, n >= 20, lost(0, n, 0.95, true), "%d answers", n)
	}
}

// sessionOf is a session of a prop that may be sound or have one fault, in whose
// steps these tokens are due of the fault.
func sessionOf(steps []step, due ...Token) *Session {
	s := &Session{field: &field{hyps: make([]hypothesis, 2)}, steps: steps, used: map[string]bool{}}
	s.field.hyps[1].faults = []strip.Fault{{Kind: strip.DeadPixel}}
	s.belief = belief{hyps: s.field.hyps, contradicted: make([]uint8, 2)}
	for k := range steps {
		s.used[steps[k].spec.key()] = true
		known := []Token{SeesAll + 1, SeesElse + 1}
		if k < len(due) {
			known[1] = due[k] + 1
		}
		s.seen = append(s.seen, &predictions{watcher: new(watcher), known: known})
	}
	return s
}

// lastLit is a question for the last lit pixel that was answered, a level telling
// it from others.
func lastLit(level float64, given int) step {
	return step{spec: Spec{Kind: AskLastLit, Level: level}, answers: []Token{Token(Red), Token(Blue), SeesElse}, given: given}
}

// A question is asked once more where the explanation contradicts its answer, the
// first such, each once, and three in one check-out at most.
func TestWhichQuestionIsAskedOnceMore(t *testing.T) {
	steps := []step{lastLit(0.1, 0), lastLit(0.2, 1), lastLit(0.3, -1), lastLit(0.4, 1), lastLit(0.5, 1)}
	due := []Token{Token(Red), Token(Red), Token(Red), Token(Red), Token(Red)}
	level := func(s *Session) float64 {
		s.belief.contradicted[1] = 1
		c := s.contradictedQuestion(1)
		if c == nil {
			return 0
		}
		assert.True(t, c.spec.Again)
		assert.Equal(t, steps[0].answers, c.answers)
		return c.spec.Level
	}
	s := sessionOf(steps, due...)
	assert.Nil(t, s.contradictedQuestion(1), "nothing is counted against it")
	assert.Equal(t, 0.2, level(s))
	var asked []step
	for k := 1; k <= 3; k++ {
		once := steps[[]int{0, 1, 3, 4}[k]]
		once.spec.Again = true
		asked = append(asked, once)
		want := []float64{0, 0.4, 0.5, 0}[k]
		assert.Equal(t, want, level(sessionOf(append(slices.Clone(steps), asked...), due...)), "after %d asked once more", k)
	}
}

// A yes to a direct question that all hangs on is asked once more: the only one,
// of an explanation that is a fault, and where nothing went dark under
// the eyes of a person.
func TestAYesIsAskedForTwice(t *testing.T) {
	steady := func(given int) step {
		return step{spec: Spec{Kind: AskSteady}, answers: []Token{SeesSteady, SeesComes, SeesComesAll}, given: given}
	}
	fade := step{spec: Spec{Kind: AskFade}, answers: []Token{SeesAlike, SeesFades}, given: 1}
	stays := step{spec: Spec{Kind: AskStaysLit}, answers: []Token{Token(Red), SeesElse}, given: 0}
	elsewhere := stays
	elsewhere.given = 1
	over, again := steady(1), steady(1)
	over.overruled, again.spec.Again = true, true
	for name, row := range map[string]struct {
		steps []step
		want  Kind
	}{
		"one yes": {[]step{lastLit(0.1, 0), steady(1)}, AskSteady}, "all of it": {[]step{steady(2), lastLit(0.1, 0)}, AskSteady},
		"a no": {[]step{steady(0)}, ""}, "not sure": {[]step{steady(-1)}, ""}, "two": {[]step{steady(1), fade}, ""}, "one went dark too": {[]step{steady(1), stays}, ""},
		"something else beside it": {[]step{steady(1), elsewhere}, AskSteady}, "went dark alone": {[]step{stays}, ""}, "taken back": {[]step{over}, ""},
		"one of two taken back": {[]step{over, fade}, AskFade}, "asked once more": {[]step{again}, ""}, "twice": {[]step{steady(1), again}, ""}, "nothing": {nil, ""},
	} {
		c := sessionOf(row.steps).repeatedYes(1)
		if row.want == "" {
			assert.Nil(t, c, name)
		} else if assert.NotNil(t, c, name) {
			assert.Equal(t, row.want, c.spec.Kind, name)
			assert.True(t, c.spec.Again, name)
		}
		assert.Nil(t, sessionOf(row.steps).repeatedYes(0), "nothing is mended on a sound prop: %s", name)
	}
}

// The commonest fault is the one whose explanations have the largest posterior
// together, whether it stands in them alone or beside another.
func TestCommonestFault(t *testing.T) {
	a, b, c := strip.Fault{Kind: strip.DeadPixel}, strip.Fault{Kind: strip.OpenJoint, Pixel: 3}, strip.Fault{Kind: strip.NoSupply}
	s := &Session{now: &posterior{}}
	s.belief.hyps = []hypothesis{{}, {faults: []strip.Fault{a}}, {faults: []strip.Fault{b}}, {faults: []strip.Fault{a, c}}, {faults: []strip.Fault{b, c}}}
	for _, row := range []struct {
		each []float64
		want strip.Fault
		part float64
	}{
		{[]float64{0.1, 0.3, 0.4, 0.2, 0}, a, 0.5}, {[]float64{0.5, 0.1, 0.2, 0.1, 0.1}, b, 0.3}, {[]float64{0, 0.1, 0.1, 0.4, 0.4}, c, 0.8}, {[]float64{1, 0, 0, 0, 0}, strip.Fault{}, 0}, {[]float64{0.9, 0.05, 0.05, 0, 0}, a, 0.05},
	} {
		s.now.each = row.each
		ft, part := s.commonest()
		assert.Equal(t, row.want, ft, "%v", row.each)
		assert.InDelta(t, row.part, part, 1e-12, "%v", row.each)
	}
}

// What is asked once an explanation leads: whatever tells it from those that fit
// as well when it is settled, half so before; from pairs of faults one look only.
func TestRivalsAreRuledOut(t *testing.T) {
	each := func(single, pair float64) *posterior { return &posterior{each: []float64{0.9, single, pair}} }
	for _, row := range []struct {
		name       string
		p          *posterior
		pairSteps  int
		settled    bool
		tie, pair  bool
		single, of float64 // the weight of the single fault, and of the likeliest
	}{
		{"none fits as well", each(0.001, 0.001), 0, true, false, false, 0.001, 0.9},
		{"a single fault, not settled", each(0.1, 0), 0, false, false, false, (0.5 + 0.1) / 2, (0.5 + 0.9) / 2},
		{"a single fault, settled", each(0.1, 0), 0, true, true, false, 0.5, 0.5},
		{"a pair, settled", each(0, 0.1), 0, true, true, true, 0, 0.5},
		{"a pair, after a look for pairs", each(0, 0.1), 1, true, false, false, 0, 0.9},
		{"both, settled", each(0.1, 0.1), 0, true, true, false, 0.25, 0.5},
		{"both, after a look for pairs", each(0.1, 0.1), 1, true, true, false, 0.25, 0.5},
		{"a pair, not settled", each(0, 0.1), 0, false, false, false, 0, (0.5 + 0.9) / 2},
	} {
		s := &Session{steps: []step{lastLit(0.1, 0)}}
		for range row.pairSteps {
			s.steps = append(s.steps, step{pair: true})
		}
		s.belief.hyps, s.belief.contradicted = []hypothesis{{}, {group: 1}, {group: 2, partner: 1}}, make([]uint8, 3)
		w, tie := s.ruleOut(row.p, row.settled)
		assert.Equal(t, row.tie, tie, row.name)
		assert.Equal(t, row.pair, s.pair, row.name)
		assert.InDelta(t, row.single, w[1], 1e-12, row.name)
		assert.InDelta(t, row.of, w[0], 1e-12, row.name)
	}
}

// Pairs are sought once an answer, when an explanation is about to stand, when
// none fits after three answers, or when the last search was cut short.
func TestWhenPairsAreSought(t *testing.T) {
	p := ringProp("small", 4, 3)
	for _, row := range []struct {
		name   string
		steps  int
		share  float64
		fits   bool
		cut    bool
		before int // answers at the last search
		want   bool
	}{
		{"nothing answered", 0, 0.9, true, false, 0, false},
		{"about to stand", 1, 0.8, true, false, 0, true},
		{"not yet", 3, 0.79, true, false, 0, false},
		{"none fits", 3, 0.3, false, false, 0, true},
		{"none fits, after two answers", 2, 0.3, false, false, 0, false},
		{"cut short", 3, 0.3, true, true, 2, true},
		{"cut short, after two answers", 2, 0.3, true, true, 1, false},
		{"sought already", 3, 0.9, true, false, 3, false},
		{"sought an answer ago", 3, 0.9, true, false, 2, true},
	} {
		s, err := New(p, Options{})
		require.NoError(t, err)
		for k := range row.steps {
			s.steps, s.seen = append(s.steps, lastLit(float64(k+1)/10, -1)), append(s.seen, nil)
		}
		at := slices.IndexFunc(s.field.hyps, func(h hypothesis) bool { return !h.sound() && h.faults[0].Kind == strip.DeadPixel })
		post := &posterior{each: make([]float64, len(s.belief.hyps)), top: at, share: row.share}
		post.each[at] = row.share
		if s.searchCut, s.pairsSearchedAt = row.cut, row.before; !row.fits {
			s.belief.contradicted[at] = 1
		}
		s.considerPairs(post)
		assert.Equal(t, row.want, len(s.tried) > 0, row.name)
		if row.want {
			assert.Equal(t, row.steps, s.pairsSearchedAt, row.name)
		}
	}
}

// triedPlaces are the places of what was paired with a hypothesis.
func triedPlaces(s *Session, g int) map[int]bool {
	out := map[int]bool{}
	for key := range s.tried {
		if int(key>>32) == g {
			out[s.field.hyps[uint32(key)].place()] = true
		}
	}
	return out
}

// Beside a fault of the whole prop, a second one is sought at the place itself and
// its neighbours, and where the first fault puts the light of that place and of
// three on either side: in a run that is mirrored, as far from its other end.
func TestNearPlacesOfPairs(t *testing.T) {
	s := begun(t, ringProp("T", 20, 9), 1, strip.Fault{Kind: strip.DeadPixel, Pixel: 2})
	s.decide()
	g := slices.IndexFunc(s.field.hyps, func(h hypothesis) bool {
		return len(h.faults) == 1 && h.faults[0] == strip.Fault{Kind: strip.RunMirrored}
	})
	require.Positive(t, g)
	for _, pixel := range []int{0, 4, 10, 19, 20, 24, 28} {
		s.forgetPairs()
		d := newPairSearch(s)
		d.near(g, []int{pixel})
		want := map[int]bool{}
		for i := range 29 {
			shows := i // the pixel of the plan whose colour place i has
			if i < 20 {
				shows = 19 - i
			}
			if max(i-pixel, pixel-i) <= 1 || max(shows-pixel, pixel-shows) <= 3 {
				want[i] = true
			}
		}
		assert.Equal(t, want, triedPlaces(s, g), "pixel %d", pixel)
	}
}

// Faults at likely places are paired with one another, those of one place not.
func TestPairsTogether(t *testing.T) {
	s := begun(t, ringProp("T", 5, 4), 1, strip.Fault{Kind: strip.DeadPixel, Pixel: 2})
	s.decide()
	f := s.field
	s.forgetPairs()
	newPairSearch(s).amongPixels([]int{7, 1, 3})
	at := map[int]int{}
	for i := range f.hyps {
		if h := &f.hyps[i]; h.family >= 0 && f.families[h.family].placed && !h.moreAfter && int(h.sameLight) == i {
			at[h.place()]++
		}
	}
	assert.Len(t, s.tried, at[1]*at[3]+at[1]*at[7]+at[3]*at[7])
	for key := range s.tried {
		a, b := f.hyps[key>>32].place(), f.hyps[uint32(key)].place()
		require.NotEqual(t, a, b)
		require.Subset(t, []int{1, 3, 7}, []int{a, b})
	}
}

// Places that count beside the likeliest have a tenth of its part or more.
func TestPlacesThatCount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var places []spotShare
		for i, x := range rapid.SliceOfN(rapid.IntRange(1, 40), 1, 12).Draw(t, "shares") {
			places = append(places, spotShare{10 + i, float64(x)})
		}
		n, at := likely(places)
		top, want := places[at-10].share, 0
		for _, q := range places {
			if q.share > top {
				t.Fatalf("pixel %d is likelier than %d", q.pixel, at)
			}
			if 10*q.share >= top {
				want++
			}
		}
		if n != want {
			t.Fatalf("%d of %v, want %d", n, places, want)
		}
	})
}

// Of a prop with many runs only so many faults of the whole are paired, the
// likeliest.
func TestFewGlobalsOfManyRuns(t *testing.T) {
	sizes := make([]int, 9)
	for i := range sizes {
		sizes[i] = 2 + i%3
	}
	f, err := newField(ringProp("T", sizes...), nil)
	require.NoError(t, err)
	require.Len(t, f.globals, 120)
	least := f.hyps[f.globals[119]].prior
	for i := range f.hyps {
		h := &f.hyps[i]
		if !h.sound() && int(h.sameLight) == i && h.faults[0].Kind == strip.RunsSwapped && h.prior > least {
			assert.Contains(t, f.globals, i, fmt.Sprint(h.faults))
		}
	}
}

// Of two faults the first is named once no further look tells more, where all but one in
// twenty of what is left have it and no single explanation is likely; never before.
func TestTheFaultThatExplanationsShare(t *testing.T) {
	s, err := New(ringProp("small", 8, 6), Options{})
	require.NoError(t, err)
	dead := func(at int) strip.Fault { return strip.Fault{Kind: strip.DeadPixel, Pixel: at} }
	first := len(s.belief.hyps)
	s.belief.hyps = slices.Clip(s.belief.hyps)
	for _, at := range []int{4, 5, 9, 11} {
		s.belief.hyps = append(s.belief.hyps, hypothesis{faults: []strip.Fault{dead(2), dead(at)}, partner: 1})
	}
	s.belief.contradicted = make([]uint8, len(s.belief.hyps))
	for name, row := range map[string]struct {
		stopped string
		part    float64 // of what is left, by those with the first fault
		leading float64
		misses  uint8
		listed  int
		want    bool
	}{
		"at the end":                {"nothing more to see", 0.98, 0.245, 0, 1, true},
		"just enough":               {"nothing more to see", 0.951, 0.24, 0, 1, true},
		"under way":                 {"", 0.98, 0.245, 0, 1, false},
		"too many without it":       {"nothing more to see", 0.949, 0.24, 0, 1, false},
		"one explanation is likely": {"nothing more to see", 0.98, 0.8, 0, 1, false},
		"answers speak against it":  {"nothing more to see", 0.98, 0.245, 1, 1, false},
		"nothing stands":            {"nothing more to see", 0.98, 0.245, 0, 0, false},
	} {
		s.now = &posterior{each: make([]float64, len(s.belief.hyps)), top: first}
		for i := first; i < len(s.belief.hyps); i++ {
			s.now.each[i] = row.part / 4
		}
		s.stopped, s.belief.contradicted[first] = row.stopped, row.misses
		f := s.shared([]Suspect{{Share: row.leading}}[:row.listed])
		require.Equal(t, row.want, f != nil, name)
		if f == nil {
			continue
		}
		assert.InDelta(t, row.part, f.Share, 1e-12, name)
		assert.True(t, f.More, name)
		assert.Equal(t, []prop.Span{{First: 2, Last: 2}}, f.Pixels, name)
		assert.Equal(t, f.Causes[0].Text+" Something else is wrong too: mend this first, then check again.", f.Title, name)
		named := false
		for _, c := range f.Causes {
			require.Len(t, c.Faults, 1, name)
			named = named || c.Faults[0] == dead(2)
		}
		assert.True(t, named, "%s: %s", name, f.Title)
	}
}
