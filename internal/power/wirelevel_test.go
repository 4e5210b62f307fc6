package power

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// At the level that the wires allow, no feed and no lead of the plan carries more than its
// wire may in free air, and a little above it one does.
func TestWireLevel(t *testing.T) {
	bad := func(p *prop.Prop, level float64) bool {
		r, err := Plan(p, level, FullWhite())
		require.NoError(t, err)
		for _, f := range r.Feeds {
			if f.Check.Wire == Bad {
				return true
			}
		}
		for _, j := range r.Joints {
			if j.Lead == Bad {
				return true
			}
		}
		return false
	}
	lowered := 0
	rapid.Check(t, func(t *rapid.T) {
		p := prop.Porthole()
		gauge := func(name string) prop.Wire { return prop.Wire{AWG: rapid.IntRange(16, 30).Draw(t, name)} }
		p.LeadWire, p.Supply.Amps, p.Chip.MinVolts = gauge("lead"), 100, 0 // no search for more feeds
		for i := range p.Feeds {
			p.Feeds[i].Wire = gauge("feed")
		}
		p.Runs[1].Apart = rapid.Bool().Draw(t, "apart")
		level, err := WireLevel(p)
		require.NoError(t, err)
		require.False(t, bad(p, 0.999*level), "%g", level)
		if level < 1 {
			lowered++
			require.True(t, bad(p, min(1, 1.02*level+0.001)), "%g", level)
		}
	})
	assert.Positive(t, lowered)
	p := prop.Porthole()
	p.Feeds[1].Wire = prop.Wire{AWG: 28}
	for _, colour := range []patterns.Colour{FullWhite(), {R: 255}, {G: 255, B: 255}} { // the plan has it for its own colour
		r, err := Plan(p, 0.3, colour)
		require.NoError(t, err)
		for _, share := range []float64{0.999, 1.01} {
			at, err := Plan(p, min(1, share*r.WireLevel), colour)
			require.NoError(t, err)
			assert.Equal(t, share > 1 && r.WireLevel < 1, at.Feeds[1].Check.Wire == Bad, "%v %g", colour, share)
		}
		again, err := r.AtLevel(p, 0.9)
		require.NoError(t, err)
		assert.Equal(t, r.WireLevel, again.WireLevel)
	}
	for _, p := range prop.Demos() {
		level, err := WireLevel(p)
		require.NoError(t, err)
		assert.Equal(t, 1.0, level, p.Name)
	}
}
