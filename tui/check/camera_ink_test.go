package check

import (
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Light and spots agree in a coarse picture: the ground of each ring is lit, and what is lit has a ring. Where
// many spots share cells each is a dot, and their light is that of the dots.
func TestEachRingHasItsLight(t *testing.T) {
	s := studioOf(t, "porthole", &easel{}, termenv.TrueColor)
	s.aimed()
	for _, row := range []struct {
		size [2]int
		kind uint8
	}{{[2]int{50, 16}, dotted}, {[2]int{80, 20}, dotted}, {[2]int{120, 35}, ringed}} {
		size := row.size
		p := s.m.page.(aimPage).proofState
		f := p.frame(size[0], size[1])
		require.GreaterOrEqual(t, f.cell*fine, p.view.Sight.Spacing, "a coarse picture")
		signs, rings := p.signs(f), 0
		for y := range f.rows {
			for x := range f.columns {
				_, low := p.cellLight(f, x, y, signs)
				lit := int(max(low[0], low[1], low[2])) - int(min(low[0], low[1], low[2]))
				kind := signs[[2]int{x, y}].kind
				if kind > 0 {
					rings++
					assert.Equal(t, row.kind, kind, "%v", size)
				}
				if kind == ringed {
					assert.GreaterOrEqual(t, lit, leastSeen-1, "%v: a ring without light at %d, %d", size, x, y)
				} else {
					assert.Less(t, lit, leastHue, "%v: light without a ring at %d, %d", size, x, y)
				}
			}
		}
		assert.Greater(t, rings, 50)
	}
}
