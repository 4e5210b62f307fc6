package prop

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Figures with a wrong unit or a digit lost make a bad prop seem good: 2 mA for 20 mA
// hides nine tenths of the current. A reading within the spread of the chip's name is
// taken without a word.
func TestFiguresFarFromTheChips(t *testing.T) {
	for _, row := range []struct{ chip, line, doubt string }{
		{"WS2812B", `full = "2 mA"`, "full: 2 mA is far below the 11 mA"},
		{"WS2812B", `full = "60 mA"`, "full: 60 mA is far above the 20 mA"},
		{"WS2812B", `full = "20 A"`, "full: 20000 mA is far above the 20 mA"},
		{"WS2815", `full = "2 mA"`, "full: 2 mA is far below the 10 mA"},
		{"SK6812 RGBW", `full = "80 mA"`, "give what one colour of one pixel adds, not white"},
		{"WS2812B", `lowest = "0.45 V"`, "lowest: 0.45 V is far below the 4.5 V"},
		{"WS2812B", `rail = "0.002 ohm/m"`, "rail: 0.002 ohm/m is less than any usual strip has"},
		{"WS2812B", `volts = "12 V"`, "volts: 12 V would harm the usual WS2812B, which takes 5 V"},
		{"WS2812B", `full = "11.1 mA"`, ""},
		{"WS2813", `full = "5 mA"`, ""},
		{"WS2812B", `lowest = "3.5 V"`, ""},
		{"WS2812B", `rail = "0.05 ohm/m"`, ""},
		{"bulb RGBW", `full = "20 mA"`, ""},
		{"WS2814", "volts = \"12 V\"\nlowest = \"10.5 V\"", ""},
	} {
		text := strings.Replace(sound, `chip = "WS2812B"`, "chip = \""+row.chip+"\"\n"+row.line, 1)
		_, doc, err := Parse([]byte(text), "t.toml")
		require.NoError(t, err, row.line)
		doubts := doc.Doubts().Error()
		if row.doubt == "" {
			assert.Empty(t, doubts, row.line)
			continue
		}
		assert.Contains(t, doubts, row.doubt)
		assert.Contains(t, doubts, "t.toml line 4: strip, ")
	}
}

// A chip that works at any voltage does not exist: a zero is refused, and an unknown
// chip is taken to need 0.9 of its volts, as 4.5 of 5 and 10.8 of 12.
func TestEveryChipHasALowestVoltage(t *testing.T) {
	_, _, err := Parse([]byte(strings.Replace(sound, "[supply]", "lowest = \"0 V\"\n[supply]", 1)), "t.toml")
	require.ErrorContains(t, err, `strip, lowest: "0 V" is zero`)
	own := strings.Replace(sound, `"WS2812B"`, "\"AB99\"\norder = \"RGB\"\nvolts = \"12 V\"\nfull = \"20 mA\"", 1)
	p, _, err := Parse([]byte(own), "t.toml")
	require.NoError(t, err)
	assert.InDelta(t, 10.8, p.Chip.MinVolts, 1e-12)
	p, _, err = Parse([]byte(strings.Replace(own, "[supply]", "lowest = \"9 V\"\n[supply]", 1)), "t.toml")
	require.NoError(t, err)
	assert.InDelta(t, 9, p.Chip.MinVolts, 1e-12)
}
