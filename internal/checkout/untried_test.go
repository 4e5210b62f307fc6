package checkout

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// A check-out by asking says of a sound prop which resistances no look shows, since it
// would say the same of one with 1 Ω in a joint. No other finding says so, nor one
// of a prop whose copper is not known.
func TestWhatNoLookShowsIsSaid(t *testing.T) {
	found := func(p *prop.Prop, faults ...strip.Fault) Finding {
		s, err := New(p, Options{ByCamera: true}) // KeyFor answers as a camera does
		require.NoError(t, err)
		model, err := strip.New(p, faults...)
		require.NoError(t, err)
		patch, err := prop.PatchFor(p)
		require.NoError(t, err)
		for _, more := s.Next(); more; _, more = s.Next() {
			buffers := model.Buffers()
			patch.Fill(buffers, s.Sent())
			require.NoError(t, s.Answer(s.KeyFor(model.LightInto(nil, buffers))))
		}
		return s.Findings()[0]
	}
	p := prop.Porthole()
	for _, faults := range [][]strip.Fault{nil, {{Kind: strip.Resistance, Run: 1, N: 1000}}} {
		f := found(p, faults...)
		require.True(t, f.Good)
		require.Equal(t, "Not tried: too much resistance in a joint or a feed, which hardly dims the light. Do the load test with a voltmeter before you close it up; without a meter this stays untried. Places to measure: inner ring to middle ring, middle ring to outer ring, feed at pixel 1, feed at pixel 85.", f.Untried)
	}
	require.Empty(t, found(p, strip.Fault{Kind: strip.DeadPixel, Pixel: 20}).Untried)
	bare := prop.Porthole()
	bare.Supply.Volts = 0
	require.Empty(t, untried(bare))
	many := prop.Porthole()
	for range 9 {
		many.Feeds = append(many.Feeds, many.Feeds[0])
	}
	require.Contains(t, untried(many), "and 9 others")
}
