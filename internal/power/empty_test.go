package power

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// sameDraws is one draw at every one of n pixels.
func sameDraws(n int, d Draw) []Draw {
	on := make([]bool, n)
	for i := range on {
		on[i] = true
	}
	return draws(on, d)
}

// unlitMiddle is the Porthole with nothing lit in its middle ring.
func unlitMiddle() *prop.Prop {
	p := prop.Porthole()
	p.Parts = append(p.Parts, prop.Part{Name: "hole", First: 36, Last: 83, Empty: true})
	return p
}

// Sums by hand: 144 pixels idle at 1 mA, and 96 of them light, 60 mA more each.
func TestEmptyPartsCountAsDark(t *testing.T) {
	r := planned(t, unlitMiddle(), 1)
	assert.Equal(t, 96, r.Lights)
	assert.InDelta(t, 0.144, r.DarkAmps, 1e-9)
	assert.InDelta(t, 0.144+96*0.060, r.Amps, 1e-9)
	assert.InDelta(t, r.Amps, r.Constant.Total, 1e-6, "the copper carries the same")
	assert.Equal(t, Good, r.Supply.Load, "5.904 A of 10 A at 0.8")
	assert.Equal(t, 1.0, r.SupplyLevel)
	assert.InDelta(t, 0.001, r.Constant.Amps[36], 1e-9)
	assert.InDelta(t, 0.061, r.Constant.Amps[35], 1e-9)
	assert.InDelta(t, 0.061, r.Constant.Amps[84], 1e-9)
	assert.Contains(t, strings.Join(r.Assumed, "\n"), "48 pixels in empty parts: taken to stay dark and to draw 1.0 mA each.")
	assert.NotContains(t, strings.Join(planned(t, prop.Porthole(), 1).Assumed, "\n"), "empty parts")

	p := unlitMiddle()
	p.Feeds = p.Feeds[:1]
	r = planned(t, p, 1)
	assert.InDelta(t, 48*0.001+60*0.061, r.Joints[0].Amps, 1e-6, "past the first joint lie the empty ring and the outer one")
	full := prop.Porthole()
	full.Feeds = full.Feeds[:1]
	assert.Less(t, len(r.Extra.Pixels), len(planned(t, full, 1).Extra.Pixels), "fewer feeds are needed")
	again, err := r.AtLevel(p, 0.5)
	require.NoError(t, err)
	assert.InDelta(t, 0.144+96*0.030, again.Amps, 1e-9)
}

// A load test of sound copper reads as sound: what is empty draws nothing that
// would have to be explained.
func TestLoadTestOfAPropWithAnEmptyPart(t *testing.T) {
	p := unlitMiddle()
	n, err := NetworkOf(p)
	require.NoError(t, err)
	l, err := NewLadder(n)
	require.NoError(t, err)
	on, _ := p.Lights()
	var readings []Reading
	for _, level := range []float64{0.2, 0.5, 1} {
		s, err := l.Sagging(nil, draws(on, sent(p, level)), LawOf(p.Chip))
		require.NoError(t, err)
		for _, i := range LoadTestPlaces(p) {
			readings = append(readings, Reading{Level: level, Pixel: i, Volts: s.Volts(i), Amps: s.Total})
		}
	}
	r, err := Fit(p, readings)
	require.NoError(t, err)
	assert.Equal(t, FitGood, r.Verdict, r.Text)
	assert.InDelta(t, 1, r.Share, 0.02, "the pixels draw what the plan has for them")
	assert.InDelta(t, 1, r.RailShare, 0.02)
}
