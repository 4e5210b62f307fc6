package plan

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// line is a prop of one run.
func line(chip string, pixels int, lead string) string {
	return fmt.Sprintf("name = \"Line\"\n[strip]\nchip = %q\n[supply]\namps = \"30 A\"\n[address]\nhost = \"multicast\"\nuniverse = 1\n"+
		"[[run]]\nname = \"a\"\npixels = %d\nlead_in = %q\n", chip, pixels, lead)
}

func planOf(t *testing.T, text string) *Plan {
	t.Helper()
	pl, err := For(parse(t, text), 1, power.FullWhite())
	require.NoError(t, err)
	return pl
}

// Refresh rates computed apart from this program from datasheet timings: 24 or
// 32 bits of 1.25 µs a pixel and a reset of 50, 280 or 80 µs.
func TestRefreshRates(t *testing.T) {
	for _, row := range []struct {
		pixels        int
		rgb50, rgb280 float64
		rgbw80        float64
	}{
		{50, 645.16, 561.80, 480.77}, {100, 327.87, 304.88, 245.10}, {150, 219.78, 209.21, 164.47}, {170, 194.17, 185.87, 145.35},
		{300, 110.50, 107.76, 82.78}, {340, 97.56, 95.42, 73.10}, {500, 66.45, 65.45, 49.80}, {680, 48.90, 48.36, 36.66}, {1024, 32.50, 32.26, 24.37},
	} {
		for chip, want := range map[string]float64{"WS2812B": row.rgb50, "WS2812B V5": row.rgb280, "SK6812 RGBW": row.rgbw80} {
			assert.InDelta(t, want, planOf(t, line(chip, row.pixels, "1 m")).Data.Refresh, 0.02, "%s of %d", chip, row.pixels)
		}
	}
}

// The longest strings at 44.1 Hz: 746 RGB with 280 µs, 564 RGBW with 80 µs.
func TestMostPixels(t *testing.T) {
	v5, _ := prop.KnownByName("WS2812B V5")
	rgbw, _ := prop.KnownByName("SK6812 RGBW")
	assert.Equal(t, 746, mostPixels(v5.Chip, v5.Data, 44.1))
	assert.Equal(t, 564, mostPixels(rgbw.Chip, rgbw.Data, 44.1))
	for _, k := range prop.KnownChips() {
		if k.Data == (prop.DataLine{}) {
			continue
		}
		for _, rate := range []float64{20, 40, 44, 60} {
			n := mostPixels(k.Chip, k.Data, rate)
			assert.LessOrEqual(t, frameTime(k.Chip, k.Data, n), 1/rate*(1+1e-9), k.Name)
			assert.Greater(t, frameTime(k.Chip, k.Data, n+1), 1/rate, k.Name)
		}
	}
}

func TestDataInPlainWords(t *testing.T) {
	pl := planOf(t, line("WS2812B", 1200, "12 m"))
	said := strings.Join(pl.Data.Says, "\n")
	for _, want := range []string{
		"1200 pixels on one output take 36.0 ms a frame: no more than 27.7 frames a second reach them",
		"2 outputs", "level shifter", "4.71 V at most", "33 to 470 ohms", "12 m from controller to first pixel is too long for a bare data wire"} {
		assert.Contains(t, said, want)
	}
	assert.Equal(t, 8*44, pl.Data.Packets, "1200 pixels at 170 a universe are 8 universes")
	assert.Equal(t, said, strings.Join(pl.JSON().Data.Says, "\n"), "JSON says the same")
	for _, s := range pl.Data.Says {
		assert.Contains(t, strings.Join(strings.Fields(pl.Text(80)), " "), s)
	}
	// 1200 x 24 x 1.25 µs and 50 µs: 36.05 ms, 27.7 a second; (50 ms - 50 µs) / 30 µs = 1665.
	assert.Contains(t, strings.Join(strings.Fields(pl.Text(80)), " "), "one frame takes 36.05 ms on the wire (1200 x 24 bits x 1.25 µs + 50 µs): up to 27.7 frames a second")
	assert.Contains(t, strings.Join(strings.Fields(pl.Text(80)), " "), "at most 1665 pixels at 20 frames a second, 831 at 40, 755 at 44")
	assert.InDelta(t, 36.05, pl.JSON().Data.FrameMS, 1e-9)
	short := planOf(t, line("WS2812B", 60, "1 m"))
	assert.NotContains(t, strings.Join(short.Data.Says, "\n"), "from the controller")
	assert.Contains(t, strings.Join(planOf(t, line("WS2812B", 60, "5 m")).Data.Says, "\n"), "wants three things: a 5 V driver")
	assert.InDelta(t, 3.5, planOf(t, line("WS2815", 60, "1 m")).Data.NeedHigh, 1e-9, "a public list: the input of 12 V chips runs from 5 V inside")
	assert.Nil(t, planOf(t, strings.Replace(line("bulb RGBW", 1, "1 m"), "30 A", "2 A", 1)).Data, "a bulb hangs on the network")
	far := planOf(t, line("WS2812B", 60, "1 m")+"[[run]]\nname = \"b\"\npixels = 10\nlead_in = \"7 m\"\n")
	assert.Contains(t, strings.Join(far.Data.Says, "\n"), "7 m apart from a to b: the signal wants repeating every 3 m; 2 pixels on the way")
}

// 60 pixels of 61 mA at 5 V are 18.3 W on a metre.
func TestHeat(t *testing.T) {
	pl := planOf(t, line("WS2812B", 120, "1 m"))
	require.Len(t, pl.Heat, 1)
	assert.InDelta(t, 36.6, pl.Heat[0].Watts, 1e-9)
	assert.InDelta(t, 18.3, pl.Heat[0].Metre, 1e-9)
	// 18.3 W through pi x 0.02 m2 at 10 W/m2K
	assert.InDelta(t, 29.1, pl.Heat[0].Rise, 0.1)
	half, err := pl.At(0.5)
	require.NoError(t, err)
	assert.InDelta(t, 120*0.031*5, half.Heat[0].Watts, 1e-9)
	assert.Contains(t, pl.Text(100), "Heat at level 100 % (estimate)")
	assert.NotContains(t, pl.Text(100), "too warm")
	dense := planOf(t, strings.Replace(line("WS2812B", 144, "1 m"), "[supply]", "density = \"144 per metre\"\n[supply]", 1))
	assert.Contains(t, dense.Text(100), "too warm for a closed tube")
}
