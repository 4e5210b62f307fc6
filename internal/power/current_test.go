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
	assert.InDelta(t, 1.05, 500*PixelAmps(chip(t, "WS2815"), patterns.Colour{}), 1e-9, "500 dark pixels draw 1.05 A (computed from the chip list)")
	c := chip(t, "WS2812B")
	sum := 0.0
	assert.Zero(t, testing.AllocsPerRun(100, func() { sum += PixelAmps(c, FullWhite()) }))
	assert.Positive(t, sum)
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

// Off and full by the law's own table; half way x = 1/2 gives 3/4 - 2/8 = 1/2.
func TestLaw(t *testing.T) {
	curve := LawOf(chip(t, "WS2812B")).Curve()
	d := Draw{Idle: 0.001, Red: 0.02, Rest: 0.04}
	for _, row := range []struct{ volts, amps float64 }{
		{5, 0.061}, {6, 0.061}, {0, 0}, {-3, 0}, {1.8, 0.001 * 0.9 * 0.9 * (3 - 1.8)},
		{(1.8 + 4.3) / 2, 0.001 + 0.01 + 0.04*rest(3.05)}, {(2.7 + 5) / 2, 0.001 + 0.02 + 0.02 - 0.02*(1-red(3.85))},
	} {
		amps, slope := curve.Amps(d, row.volts)
		assert.InDelta(t, row.amps, amps, 1e-12, "%g V", row.volts)
		const h = 1e-6
		up, _ := curve.Amps(d, row.volts+h)
		down, _ := curve.Amps(d, row.volts-h)
		assert.InDelta(t, (up-down)/(2*h), slope, 1e-6, "slope at %g V", row.volts)
	}
	twelve := LawOf(chip(t, "WS2811 12V"))
	assert.InDelta(t, 12, twelve.RestFull, 1e-12)
	curve = twelve.Curve()
	whole, _ := curve.Amps(d, 12)
	assert.InDelta(t, 0.061, whole, 1e-12)
}

func red(v float64) float64  { x := (v - 1.8) / 2.5; return x * x * (3 - 2*x) }
func rest(v float64) float64 { x := (v - 2.7) / 2.3; return x * x * (3 - 2*x) }
