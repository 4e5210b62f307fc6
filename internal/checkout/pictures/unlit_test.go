package pictures

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// unlit is a proof of a prop of which no pixel lights.
func unlit(t *testing.T, p *prop.Prop) *Proof {
	t.Helper()
	s, err := eyes.SceneOf(p)
	require.NoError(t, err)
	r := &eyes.Result{Unlit: true, Places: make([]eyes.Place, p.Pixels())}
	for i := range r.Places {
		r.Places[i].State = eyes.Dark
	}
	proof, err := Weigh(p, s, r)
	require.NoError(t, err)
	return proof
}

// A prop that stays dark has all that a person who sees nothing would find, in the
// same words; it is never signed off, and no plan follows it. That a camera which
// looks elsewhere sees the same is said first.
func TestAPropThatStaysDarkIsNamed(t *testing.T) {
	for name, p := range props(t) {
		proof := unlit(t, p)
		require.False(t, proof.Good(), name)
		require.Empty(t, proof.Left())
		_, ok := proof.AsBuilt()
		require.False(t, ok)
		for k := range settles {
			proof.Tested(k, single.Result{Good: true, Whole: true})
			require.False(t, proof.Good())
		}

		asked, err := checkout.New(p, checkout.Options{})
		require.NoError(t, err)
		nothing := make(strip.Light, len(p.Runs))
		for i, run := range p.Runs {
			nothing[i] = make([]patterns.Colour, run.Pixels)
		}
		for _, more := asked.Next(); more; _, more = asked.Next() {
			require.NoError(t, asked.Answer(asked.KeyFor(nothing)))
		}
		require.Equal(t, asked.Findings(), proof.Findings)

		var kinds []strip.Kind
		for _, c := range proof.Findings[0].Causes {
			for _, ft := range c.Faults { // another source has none
				kinds = append(kinds, ft.Kind)
			}
		}
		require.Subset(t, kinds, []strip.Kind{strip.NoSupply, strip.WrongEnd, strip.RunBackwards, strip.OpenJoint})
		var text, line bytes.Buffer
		proof.Text(&text)
		require.Regexp(t, "^No pixel lights in any look. A camera that looks elsewhere", text.String())
		require.Contains(t, text.String(), ": dark")
		require.NotContains(t, text.String(), "camera pixels between")
		require.NoError(t, proof.JSON(&line))
		require.Contains(t, line.String(), `"unlit":"No pixel lights`)
		require.Contains(t, line.String(), `"x":null`)
		require.Contains(t, line.String(), `"good":false`)
	}
}

// A prop that is planned to light nothing and lights nothing is no proof of a
// sound one.
func TestNothingPlannedAndNothingSeenIsNotSignedOff(t *testing.T) {
	proof := unlit(t, prop.Porthole())
	for range proof.Result.Places {
		proof.Scene.Empty = append(proof.Scene.Empty, true)
	}
	proof.Counts = proof.Scene.Counts(proof.Result.Places)
	proof.found = []checkout.Finding{{Good: true}}
	require.True(t, proof.allRight())
	require.False(t, proof.AllRight())
	require.False(t, proof.Good())
}
