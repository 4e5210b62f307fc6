package power

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// A load that comes to the limit to the last digit a builder would write is
// within it, whichever way its sum of binary fractions was rounded.
func TestALoadAtTheLimitIsWithinIt(t *testing.T) {
	for pixels := 1; pixels <= 400; pixels++ {
		sum := 0.0
		for range pixels {
			sum += 0.04
		}
		s, err := CheckSupply(prop.Supply{Volts: 5, Amps: float64(pixels) * 4 / 100, Continuous: 1}, sum)
		require.NoError(t, err)
		assert.Equal(t, Good, s.Load, "%d pixels of 40 mA", pixels)
		over, err := CheckSupply(prop.Supply{Volts: 5, Amps: float64(pixels) * 4 / 100, Continuous: 1}, sum*1.0001)
		require.NoError(t, err)
		assert.Equal(t, Bad, over.Load, "%d pixels of 40 mA and one part in 10,000", pixels)
	}
}
