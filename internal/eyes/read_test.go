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

// Where most lights show a word but for some looks, the remedy is another film, not
// other marks.
func TestPicturesWhoseColoursRunTogetherAreNamed(t *testing.T) {
	s := &Scene{Runs: []Run{{Places: make([]Point, 4)}}}
	for left, want := range map[int]RefusalKind{2: NoMap, 3: Smeared} { // of four spots; the fifth is no pixel
		d := &decoder{scene: s}
		d.result.Measures.Spacing = 9
		for i := range 5 {
			spot := Spot{}
			if i < left || i == 4 {
				spot.Reading.Left = 1
			}
			d.result.Spots = append(d.result.Spots, spot)
		}
		require.Equal(t, want, d.mapRefusal([]layout{{agree: 0.94}}).Kind)
		require.Nil(t, d.mapRefusal([]layout{{agree: 0.96}}))
	}
}
