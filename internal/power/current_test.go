package power

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

func chip(t testing.TB, name string) prop.Chip {
	t.Helper()
	c, ok := prop.ChipByName(name)
	if !ok {
		t.Fatalf("no chip %q", name)
	}
	return c
}

func TestPixelAmps(t *testing.T) {
	for _, row := range []struct {
		chip   string
		colour patterns.Colour
		want   float64
		source string
	}{
		{"WS2812B", patterns.Colour{R: 255, G: 255, B: 255}, 0.061, "60 mA white (common practice) and 1 mA idle (measured)"},
		{"WS2812B", patterns.Colour{}, 0.001, "measured: just under 1 mA dark"},
		{"WS2812B", patterns.Colour{W: 255, C: 255}, 0.001, "an RGB chip has no white"},
		{"WS2812B", patterns.Colour{G: 51}, 0.005, "51/255 of 20 mA, pulse width is linear, and idle"},
		{"SK6812 RGBW", FullWhite(), 0.081, "4 times 20 mA and 1 mA (chip list)"},
		{"WS2815", patterns.Colour{}, 0.0021, "chip list: 2.1 mA at 12 V"},
	} {
		assert.InDelta(t, row.want, PixelAmps(chip(t, row.chip), row.colour), 1e-12, row.source)
	}
	dark := make(patterns.Frame, 500)
	assert.InDelta(t, 1.05, FrameAmps(chip(t, "WS2815"), dark), 1e-9, "500 dark pixels draw 1.05 A (computed from the chip list)")
	c := chip(t, "WS2812B")
	assert.Zero(t, testing.AllocsPerRun(100, func() { PixelAmps(c, FullWhite()) }))
}

func BenchmarkPixelAmps(b *testing.B) {
	c, col := chip(b, "SK6812 RGBW"), FullWhite()
	b.ReportAllocs()
	sum := 0.0
	for b.Loop() {
		sum += PixelAmps(c, col)
	}
	_ = sum
}
