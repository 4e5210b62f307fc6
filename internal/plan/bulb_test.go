package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// A bulb has no strip, no pads, no ends and no data wire, so its plan mentions none of
// them.
func TestAPlanOfABulbSpeaksOfABulb(t *testing.T) {
	pl, err := For(prop.BuoyLamp(), 1, power.FullWhite())
	require.NoError(t, err)
	text := pl.Text(100)
	for _, word := range []string{"1 pixels", "wires", "heat-shrink", "pads", "strip ends", "rail", "0 mm", "0.00 V lost", "no wire", "data in"} {
		assert.NotContains(t, text, word)
	}
	assert.Contains(t, text, "the network reaches the bulb")
	assert.Zero(t, pl.Materials.SolderPads)
}
