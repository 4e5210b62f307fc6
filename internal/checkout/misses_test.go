package checkout

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// An explanation is excused for an answer that was put right when it was asked
// again, but only where that answer had been weighed. One that is out of the running
// is excused too: later answers may bring it back.
func TestOnlyWhatWasWeighedIsExcused(t *testing.T) {
	s := guesser(t, ringProp("small", 4, 3), 1, Options{Most: 4}, func(*Session) {})
	require.GreaterOrEqual(t, len(s.steps), 2)
	const at = 1
	st, i := &s.steps[at], -1
	st.given, st.overruled = 0, false
	for k := range s.belief.hyps {
		h := &s.belief.hyps[k]
		if _, miss := st.likelihood(h, s.predictionsOf(at).of(&s.belief, s.field, &st.spec, k)); miss && !h.sound() && !h.sag && h.sameLight == int32(k) {
			i = k
			break
		}
	}
	require.NotEqual(t, -1, i)
	for upto, want := range map[uint8]uint8{0: 3, at: 3, at + 1: 2, at + 2: 2} {
		b := s.belief.clone()
		b.log[i], b.unknown, b.contradicted[i], b.weighed[i] = 0, 0, 3, upto
		c := *s
		c.belief = b
		c.steps = append([]step(nil), s.steps[:at+1]...) // nothing after it is weighed again
		c.steps[0].given = -1                            // nor before it
		c.belief.discount(&c, at)
		assert.Equal(t, want, c.belief.contradicted[i], "weighed %d answers", upto)
		b.log[i], b.contradicted[i], b.weighed[i] = -10*ruledOutBelow, 3, upto
		c.steps[at].overruled = false
		c.belief.discount(&c, at)
		assert.Equal(t, want, c.belief.contradicted[i], "weighed %d answers, out of the running", upto)
	}
}

// Any one colour that is seen as another is a change, and only all of them dark
// are a dark place.
func TestSignaturesNameEveryColour(t *testing.T) {
	var plain, dark signature
	for n := Red; n <= White; n++ {
		plain.seenAs[n], dark.seenAs[n] = n, Dark
	}
	assert.False(t, plain.changed())
	assert.False(t, plain.dark())
	assert.True(t, dark.dark())
	for n := Red; n <= White; n++ {
		one, lit := plain, dark
		one.seenAs[n], lit.seenAs[n] = Dark, n
		assert.True(t, one.changed(), n)
		assert.False(t, one.dark(), n)
		assert.False(t, lit.dark(), n)
	}
}

// Where something else than the answers speaks too, a suspect that it does not fit
// is left out and the shares are of what is left; where nothing fits all are there.
func TestFindingsThatFit(t *testing.T) {
	p := ringProp("small", 12, 8)
	fault := strip.Fault{Kind: strip.DeadPixel, Pixel: 5}
	st, err := strip.New(p, fault)
	require.NoError(t, err)
	s, err := New(p, Options{})
	require.NoError(t, err)
	finish(t, s, st)
	all := s.Findings()
	assert.Equal(t, all, s.FindingsWhere(func([]strip.Fault) bool { return false }))
	asked := 0
	got := s.FindingsWhere(func(faults []strip.Fault) bool {
		asked++
		return slices.Equal(faults, []strip.Fault{fault})
	})
	assert.Len(t, s.Suspects(), asked, "each is asked about")
	assert.Equal(t, []strip.Fault{fault}, got[0].Causes[0].Faults)
	assert.InDelta(t, all[0].Share/(all[0].Share+s.now.unknown), got[0].Share, 1e-9)
}

// Whether all behind a fault is dark is seen at the very last pixel, also of a
// run of one; behind the last pixel itself there is nothing.
func TestWhatIsDarkBehindAFault(t *testing.T) {
	stops := []strip.Kind{strip.OpenJoint, strip.RailLost, strip.DeadStop}
	for _, row := range []struct {
		p      *prop.Prop
		behind bool // the place that is looked at has pixels behind it
	}{{ringProp("T", 4, 1), true}, {ringProp("T", 1, 4), true}, {ringProp("T", 1, 1, 1), true}, {single("S", 3), true}, {single("S", 2), false}} {
		f, err := newField(row.p, nil)
		require.NoError(t, err)
		checked := 0
		for i := range f.families {
			fam := &f.families[i]
			if !fam.placed || fam.moreAfter || fam.from == fam.to {
				continue
			}
			checked++
			k := fam.facts.Kind
			assert.Equal(t, row.behind && slices.Contains(stops, k), f.marks[i].darkAfter, "%s of %d pixels", fam.name, f.pixels)
		}
		assert.Greater(t, checked, 4)
	}
}

// That nothing known explains the answers is said once there are answers: where a
// fault of no list is likelier than all that is known, where nothing known is left,
// and at the end where what leads contradicts an answer; but a fall of voltage
// does not contradict one that another strength gives.
func TestWhenNothingKnownExplainsIt(t *testing.T) {
	s := begun(t, ringProp("small", 4, 3), 1, strip.Fault{Kind: strip.DeadPixel, Pixel: 2})
	s.decide()
	first := func(k strip.Kind) int {
		return slices.IndexFunc(s.field.hyps, func(h hypothesis) bool { return len(h.faults) == 1 && h.faults[0].Kind == k })
	}
	dead, sag := first(strip.DeadPixel), first(strip.Sag)
	some := []Suspect{{fitsAll: true}}
	steps := s.steps
	for _, row := range []struct {
		name           string
		steps          []step
		standing       []Suspect
		top            int
		misses         uint8
		share, unknown float64
		stopped        string
		want           bool
	}{
		{"no answer yet", nil, nil, dead, 0, 0.1, 0.9, "", false},
		{"what is known is likelier", steps, some, dead, 0, 0.5, 0.4, "", false},
		{"as likely", steps, some, dead, 0, 0.4, 0.4, "", false},
		{"the unknown is likelier", steps, some, dead, 0, 0.4, 0.5, "", true},
		{"nothing known is left", steps, nil, dead, 0, 0.5, 0.4, "", true},
		{"contradicted, under way", steps, some, dead, 1, 0.5, 0.4, "", false},
		{"contradicted, at the end", steps, some, dead, 1, 0.5, 0.4, "settled", true},
		{"contradicted, and the unknown is likelier", steps, some, dead, 1, 0.4, 0.5, "", true},
		{"a fall of voltage of another strength", steps, some, sag, 1, 0.5, 0.4, "settled", false},
		{"a fall of voltage of no strength", steps, []Suspect{{}}, sag, 1, 0.5, 0.4, "settled", true},
		{"at the end, nothing contradicted", steps, some, dead, 0, 0.5, 0.4, "settled", false},
	} {
		c := s.Clone()
		c.steps, c.stopped = row.steps, row.stopped
		c.belief.contradicted[row.top] = row.misses
		c.now = &posterior{each: make([]float64, len(c.belief.hyps)), top: row.top, share: row.share, unknown: row.unknown}
		f := c.unexplained(row.standing)
		assert.Equal(t, row.want, f != nil, row.name)
		if f != nil {
			assert.Equal(t, c.closest(), f.Unknown.Closest, row.name)
			assert.Equal(t, row.unknown, f.Share, row.name)
		}
	}
	for _, top := range []int{0, dead, first(strip.SlotShift), first(strip.RunMirrored)} {
		s.now.top = top
		got := s.closest()
		if top == 0 {
			assert.Equal(t, "Most looks are as of a prop without fault.", got.Text)
			continue
		}
		ft := s.field.hyps[top].faults[0]
		assert.Equal(t, []strip.Fault{ft}, got.Faults)
		assert.Equal(t, ft.Sentence(s.field.prop), got.Text)
	}
}
