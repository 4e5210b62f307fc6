package eyes

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A pixel that has lost the colour of nearly all its looks keeps the light of
// the others, where it is no brighter than most pixels; a flash is cut down.
func TestADarkPixelsLightIsNoFlash(t *testing.T) {
	words, err := Table(100)
	require.NoError(t, err)
	s := &Scene{Order: "GRB", Slots: 3, Words: words, Looks: Looks(3, len(words[0]))}
	r := newReader(s)
	r.setMix(mix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}})
	light := make([]vec, len(s.Looks))
	light[2], light[3] = vec{0.4, 0, 0}, vec{0, 0, 4}
	r.tame(light, 0.4)
	require.InDelta(t, 0.4, light[2].most(), 1e-6)
	require.InDelta(t, mostOfLit*0.4, light[3].most(), 1e-6)
}
