package pictures

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
)

// Light that comes and goes from a pixel on is named with that pixel, though one
// of the places behind it was not read; it is never signed off, and what is said
// of a steady prop depends on whether it was watched at all.
func TestLightThatComesAndGoesIsNamed(t *testing.T) {
	p := prop.Porthole()
	s, err := eyes.SceneOf(p)
	require.NoError(t, err)
	r := readLight(t, p, s, shown(t, p, s))
	r.Watched = true
	sound, err := Weigh(p, s, r)
	require.NoError(t, err)
	require.True(t, sound.AllRight())
	require.Contains(t, sound.Open(), "All light was steady")
	for i := 99; i < p.Pixels(); i++ {
		r.Places[i].Unsteady = 5
	}
	r.Places[123].State = eyes.Unread
	proof, err := Weigh(p, s, r)
	require.NoError(t, err)
	require.False(t, proof.Good())
	require.Contains(t, proof.Findings[0].Title, "flickers from pixel 16 of run \"outer ring\"")
	require.Equal(t, 44, proof.Counts[eyes.Unsteady])
	var text bytes.Buffer
	proof.Text(&text)
	require.Contains(t, text.String(), "outer ring, places 16 to 39: as planned, but its light comes and goes")
}
