package check

import (
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Light and spots agree in a coarse picture: the ground of each ring is lit, and what is lit has a ring.
func TestEachRingHasItsLight(t *testing.T) {
	s := studioOf(t, "porthole", &easel{}, termenv.TrueColor)
	s.aimed()
	for _, size := range [][2]int{{50, 16}, {80, 20}, {120, 35}} {
		p := s.m.page.(aimPage).proofState
		f := p.frame(size[0], size[1])
		require.GreaterOrEqual(t, f.cell*fine, p.view.Sight.Spacing, "a coarse picture")
		signs, rings := p.signs(f), 0
		for y := range f.rows {
			for x := range f.columns {
				_, low := p.cellLight(f, x, y, signs)
				lit := int(max(low[0], low[1], low[2])) - int(min(low[0], low[1], low[2]))
				if signs[[2]int{x, y}].kind == ringed {
					rings++
					assert.GreaterOrEqual(t, lit, leastSeen-1, "%v: a ring without light at %d, %d", size, x, y)
				} else {
					assert.Less(t, lit, leastHue, "%v: light without a ring at %d, %d", size, x, y)
				}
			}
		}
		assert.Greater(t, rings, 50)
	}
}
