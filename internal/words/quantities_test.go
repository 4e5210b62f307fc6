package words

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestQuantities(t *testing.T) {
	for want, got := range map[string]string{
		"4.32 V": Volts(4.329), "12.00 V": Volts(11.999998), "11.99 V": Volts(11.9998), "0.57 V": Volts(0.57), "5.00 V": Volts(5), "0 V": Volts(-0.001), "0.00 V": Volts(0),
		"9.6 A": Amps(9.6), "0.14 A": Amps(0.144), "0.99 A": Amps(0.994), "1.0 A": Amps(0.996), "12.0 A": Amps(12),
		"20.0 mA": Milliamps(0.02), "0.6 mA": Milliamps(0.0006), "35 mV": Millivolts(0.0349),
		"0.05 Ω": Ohms(0.05), "1.5 Ω": Ohms(1.5), "11.0 Ω": Ohms(11), "0.7 W": Watts(0.72),
		"12 A": Given(12, "A"), "7.5 A": Given(7.5, "A"), "0.2 ohm/m": Given(0.2, "ohm/m"),
		"20 %": Percent(0.2), "12.5 %": Percent(0.125), "0.4 %": Percent(0.004),
	} {
		assert.Equal(t, want, got)
	}
}

// What is printed is within half its last digit of the figure, and has two or
// three digits that say something from a tenth to a hundred.
func TestFigureKeepsTheValue(t *testing.T) {
	form := regexp.MustCompile(`^(0\.\d\d|\d+\.\d)$`)
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(0, 200).Draw(t, "v")
		text := Figure(v)
		require.Regexp(t, form, text)
		back, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		if v < 0.99 {
			require.LessOrEqual(t, math.Abs(back-v), 0.005+1e-9)
		} else {
			require.LessOrEqual(t, math.Abs(back-v), 0.05+1e-9)
		}
	})
}
