package style

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The quick look never misses a unit that the search would find.
func TestNoUnitIsMissed(t *testing.T) {
	piece := rapid.SampledFrom([]string{"7", " ", "12", "µA", "A", "kW", "ohm", "ohms", "of", "mm2", "in", "ft", "AWG", "%", "deg", "s", "ms", "V", "\u00a0", "x", ".", ","})
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOfN(piece, 0, 12).Draw(t, "pieces"), "")
		if units.MatchString(text) {
			require.True(t, mayHaveUnit(text), "%q", text)
		}
	})
	require.False(t, mayHaveUnit("Pixel 37 of 144: run 2"))
}

func BenchmarkWrap(b *testing.B) {
	for b.Loop() {
		Wrap("One pixel at a time walks the way the data goes: pixel 37 of 144, the first of the middle ring.", 60)
	}
}
