package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// Tube is cut from coils of any length above 0, also of less than a metre. Without a
// coil there is no plan.
func TestCoilsOfAnyLength(t *testing.T) {
	p := prop.Porthole()
	p.Runs[0].Cut, p.Runs[1].Cut = 0.4, 0.6 // metres of tube
	for coil, planned := range map[float64]bool{-1: false, 0: false, 0.601: true, 1: true, 25: true} {
		p.Coil = coil
		pl, err := For(p, 1, power.FullWhite())
		require.NoError(t, err)
		assert.NoError(t, pl.CoilErr)
		assert.Equal(t, planned, pl.Coil != nil, "%g m", coil)
	}
	p.Coil = 0.599
	pl, err := For(p, 1, power.FullWhite())
	require.NoError(t, err)
	if assert.NotNil(t, pl.Coil) && assert.Len(t, pl.Coil.TooLong, 1, "0.6 m do not come off it") {
		assert.InDelta(t, 0.6, pl.Coil.TooLong[0].Metres, 1e-9)
	}
}

// Where the supply comes in by feeds, one or many, the first lead has no plus, and as many
// wires are counted as are listed.
func TestPlusOfTheFirstLead(t *testing.T) {
	p := prop.Porthole()
	feed := p.Feeds[0]
	for _, feeds := range [][]prop.Feed{nil, {feed}, p.Feeds} {
		p.Feeds = feeds
		pl, err := For(p, 1, power.FullWhite())
		require.NoError(t, err)
		text := oneLine(pl.Text(120))
		if len(feeds) == 0 {
			assert.Equal(t, "plus of the supply, through its fuse", pl.Wiring[0].From)
			assert.Contains(t, text, "J1 controller to inner ring: 3 wires of 30 cm, 20 AWG red")
			continue
		}
		assert.Equal(t, "data of the controller", pl.Wiring[0].From, "%d feeds", len(feeds))
		assert.Contains(t, text, "J1 controller to inner ring: 2 wires of 30 cm, 20 AWG; no plus: the feeds bring the supply green")
	}
	assert.Equal(t, "data out of outer ring, pixel 48", wireFrom(&prop.Prop{Runs: []prop.Run{{Name: "outer ring"}}}, prop.Joint{From: 0, LastPixel: 47}, "data"))
}

// Heat per metre is printed even when it is small.
func TestLittleHeatIsTold(t *testing.T) {
	p := parse(t, strings.Replace(line("WS2812B", 10, "1 m"), "[supply]", "density = \"60 per metre\"\n[supply]", 1))
	pl, err := For(p, 0.01, power.FullWhite())
	require.NoError(t, err)
	require.Less(t, pl.Heat[0].Metre, 1.0)
	require.Positive(t, pl.Heat[0].Metre)
	assert.Contains(t, oneLine(pl.Text(100)), " W a metre; some ")
}

// The route of the file is kept unless replace is true.
func TestWhoseRouteIsTaken(t *testing.T) {
	sp, d := laid(t)
	assert.False(t, sp.InFile)
	kept, same, err := LayString(d, false)
	require.NoError(t, err)
	assert.True(t, kept.InFile)
	assert.Same(t, d, same)
	assert.Equal(t, sp.Route.Order, kept.Route.Order)
	other, next, err := LayString(d, true)
	require.NoError(t, err)
	assert.NotSame(t, d, next)
	assert.Equal(t, other.Best, other.Route)
}
