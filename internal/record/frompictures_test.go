package record

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
)

// seen is a proof of the Porthole in which every place shows what was planned,
// but for what change does.
func seen(t *testing.T, change func(places []eyes.Place)) Entry {
	t.Helper()
	p := prop.Porthole()
	s, err := eyes.SceneOf(p)
	require.NoError(t, err)
	r := &eyes.Result{Measures: eyes.Measures{Spacing: 12.34}}
	for i := range p.Pixels() {
		r.Places = append(r.Places, eyes.Place{State: eyes.Read, Reading: eyes.Reading{Slot: 3 * i, Chip: 3, Order: "GRB", Strength: [4]float64{1, 1, 1}}})
	}
	if change != nil {
		change(r.Places)
	}
	proof, err := pictures.Weigh(p, s, r)
	require.NoError(t, err)
	return FromPictures(proof)
}

func TestAProofByPicturesPassesOnlyWhenAllWasRead(t *testing.T) {
	e := seen(t, nil)
	require.Equal(t, Pass, e.Verdict)
	require.Equal(t, &Camera{Places: 144, Right: 144, Spacing: 12.3}, e.Camera)
	require.Empty(t, e.Built)

	e = seen(t, func(p []eyes.Place) { p[9].State = eyes.Unread })
	require.Equal(t, Stopped, e.Verdict, "an unread place is neither good nor bad")
	require.Equal(t, 1, e.Camera.Unread)

	e = seen(t, func(p []eyes.Place) { p[9].State = eyes.Dark })
	require.Equal(t, Fail, e.Verdict)
	require.Equal(t, 1, e.Camera.Wrong)
	require.Equal(t, []string{"inner ring, place 10: dark"}, e.Built)
	require.NotEqual(t, "good", e.Findings[0].Kind)

	e = seen(t, func(p []eyes.Place) { p[9].State = eyes.Stuck }) // no list has it
	require.Equal(t, Fail, e.Verdict)
	require.NotEqual(t, "good", e.Findings[0].Kind)
}
