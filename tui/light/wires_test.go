package light

import (
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// TestALevelAboveTheWiresIsSaid: the limiter knows the supply only, so a level that thin
// feed wires do not carry in white is warned of, in windows of every size, until it is
// turned down or the prop is dark.
func TestALevelAboveTheWiresIsSaid(t *testing.T) {
	const caution = "CAUTION: the wires carry"
	for _, size := range [][2]int{{50, 20}, {80, 24}, {120, 40}, {200, 60}} {
		p := prop.Porthole()
		sound, _ := lit(p, false, size[0], size[1], termenv.Ascii)
		for range 20 {
			sound = press(sound, "up")
		}
		require.GreaterOrEqual(t, sound.level, 0.9)
		assert.NotContains(t, sound.View(size[0], size[1]-4), caution)

		p.Feeds[1].Wire = prop.Wire{AWG: 28}
		most, err := power.WireLevel(p)
		require.NoError(t, err)
		m, _ := lit(p, false, size[0], size[1], termenv.Ascii)
		require.Less(t, m.level, most)
		assert.NotContains(t, m.View(size[0], size[1]-4), caution)
		for m.level <= most {
			m = press(m, "up")
		}
		assert.Contains(t, ansi.Strip(m.View(size[0], size[1]-4)), caution, "%v", size)
		assert.NotContains(t, press(m, "l").View(size[0], size[1]-4), caution)
	}
}
