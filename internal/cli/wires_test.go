package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
)

// A light that the limiter allows may still be too much for a thin feed: 28 AWG carries 1.4 A
// in free air, which the outer feed of the Porthole draws at 41 % of white.
func TestALightForThickerWires(t *testing.T) {
	p := prop.Porthole()
	assert.Empty(t, thinWires(p, 1))
	p.Feeds[1].Wire = prop.Wire{AWG: 28}
	assert.Empty(t, thinWires(p, 0.4))
	assert.Equal(t, "the wires of Porthole carry level 41 % of white at most: stay below, or power off and use thicker wire, as ringout plan says", thinWires(p, 0.9))
}
