package outsider

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestSagAsMeasured: 5 m of strip with 60 pixels a metre, each rail 1 ohm, all
// white and fed at one end with 5 V, had 2.5 V at the far end and took 3.7 A
// (a published bench measurement; its author calls it rough).
func TestSagAsMeasured(t *testing.T) {
	white := slices.Repeat([]Light{{R: 255, G: 255, B: 255}}, 300)
	var places []*Light
	for i := range white {
		places = append(places, &white[i])
	}
	p := Prop{Sag: 2.0 / 300}
	volts := p.volts(places)
	amps := 0.0
	for i, l := range white {
		amps += current(l, volts[i])
	}
	require.InDelta(t, 2.5, volts[299], 0.3)
	require.InDelta(t, 3.7, amps, 0.5)
	near, far := dimmed(white[0], volts[0]), dimmed(white[299], volts[299])
	require.Equal(t, "white", near.Name())
	require.Equal(t, "red", far.Name(), "blue and green go first (datasheets)")
}
