package check

import (
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// In a coarse picture the light of spots is that of their signs, and in few colours in every one.
func TestNoLightButSpots(t *testing.T) {
	const leastHue = 8
	s := studioOf(t, "porthole", &easel{}, termenv.TrueColor)
	s.aimed()
	for _, size := range [][2]int{{50, 16}, {80, 20}, {120, 35}, {200, 55}} {
		p := s.m.page.(aimPage).proofState
		f := p.frame(size[0], size[1])
		depth := style.True
		if f.cell*fine < p.view.Sight.Spacing { // weak light is a full one in few colours alone
			depth = style.Sixteen
		}
		signs := p.signs(f)
		for y := range f.rows {
			for x := range f.columns {
				_, low := p.cellLight(depth, f, x, y, signs)
				lit := int(max(low[0], low[1], low[2])) - int(min(low[0], low[1], low[2]))
				assert.Less(t, lit, leastHue, "%v: light at %d, %d", size, x, y)
			}
		}
	}
}

// Each spot has a sign of its own, or all are dots: a hidden one would look dark. Dots are so small that
// a line of them has no gap.
func TestEachSpotHasItsSign(t *testing.T) {
	ringsSomewhere := false
	for _, name := range []string{"porthole", "pennant"} { // a bulb has no camera
		s := studioOf(t, name, &easel{}, termenv.TrueColor)
		s.aimed()
		p := s.m.page.(aimPage).proofState
		require.NotEmpty(t, p.view.Sight.Spots)
		for _, size := range [][2]int{{50, 16}, {80, 20}, {100, 30}, {120, 35}, {160, 45}, {200, 55}} {
			count := map[uint8]int{}
			for _, g := range p.signs(p.frame(size[0], size[1])) {
				count[g.kind]++
			}
			ringsSomewhere = ringsSomewhere || count[ringed] > 0
			assert.Len(t, count, 1, "%s at %v: one look", name, size)
			if count[dotted] == 0 {
				assert.Equal(t, len(p.view.Sight.Spots), count[ringed], "%s at %v", name, size)
			}
		}
	}
	assert.True(t, ringsSomewhere)
}

// A sign is white, and stands out from its ground by 4.5 to 1 in any light; ground that is dark enough
// keeps its light.
func TestSignsReadOnLight(t *testing.T) {
	luminance := func(d style.Depth, v [3]uint8) float64 {
		v = shownAs(d, v)
		return canvas.Luminance(int(v[0]), int(v[1]), int(v[2]))
	}
	for _, d := range []style.Depth{style.Sixteen, style.Cube256, style.True} {
		for i := range 6 * 6 * 6 {
			low := [3]uint8{uint8(i % 6 * 51), uint8(i / 6 % 6 * 51), uint8(i / 36 * 51)}
			under := underSign(d, low)
			assert.GreaterOrEqual(t, 1.05/(luminance(d, under)+0.05), 4.5, "%v on %v", d, low)
			if 1.05/(luminance(d, low)+0.05) >= 4.6 {
				assert.Equal(t, low, under, "%v on %v", d, low)
			}
			assert.Equal(t, ink(d, [3]uint8{255, 255, 255}, under, false), ink(d, low, low, true))
		}
	}
}
