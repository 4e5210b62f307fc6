package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// TestAYesIsNeverGood: whoever says that the far end is dimmer, or that light
// comes and goes, while all else is as planned, is not told that nothing is
// wrong, however strong it is.
func TestAYesIsNeverGood(t *testing.T) {
	rows := []struct {
		kind Kind
		yes  Token
	}{
		{AskFade, SeesFades},
		{AskSteady, SeesComes},
		{AskSteady, SeesComesAll},
	}
	props := append(prop.Demos(), ringProp("rings", 24, 12), single("short", 8))
	for _, p := range props {
		for _, r := range rows {
			s, err := New(p, Options{})
			require.NoError(t, err)
			asked := false
			var b builder
			for pr, ok := s.Next(); ok; pr, ok = s.Next() {
				k := key(s.field, &pr, s.field.sound, &b)
				if pr.Spec.Kind == r.kind {
					asked, k = true, keyOf(t, pr, r.yes)
				}
				require.NoError(t, s.Answer(k))
			}
			if !asked {
				continue // a prop of one pixel has no far end
			}
			for _, f := range s.Findings() {
				assert.False(t, f.Good, "%s: %v", p.Name, r)
			}
		}
	}
}

// keyOf is the key on which an answer stands.
func keyOf(t *testing.T, p Probe, sees Token) int {
	t.Helper()
	for _, a := range p.Answers {
		if a.Sees == sees {
			return a.Key
		}
	}
	require.Fail(t, "not offered", "%v of %v", sees, p.Answers)
	return 0
}

// TestSagOfAnyStrength: a fall of voltage that the builder sees is found,
// however strong it is, and its strength is fitted roughly.
func TestSagOfAnyStrength(t *testing.T) {
	for _, milli := range []int{900, 1100, 1500, 2500, 4000, 8000} {
		p := ringProp("rings", 42, 52, 61, 71)
		s, err := New(p, Options{})
		require.NoError(t, err)
		st, err := strip.New(p, strip.Fault{Kind: strip.Sag, N: milli})
		require.NoError(t, err)
		finish(t, s, st)
		f := s.Findings()[0]
		require.NotEmpty(t, f.Causes, "%d: %+v", milli, f.Unknown)
		require.False(t, f.Good, milli)
		assert.Equal(t, strip.Sag, f.Causes[0].Faults[0].Kind, "%d: %s", milli, f.Title)
		assert.InEpsilon(t, milli, f.Causes[0].Faults[0].N, 0.6, "%d: %s", milli, f.Title)
	}
}
