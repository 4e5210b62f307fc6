package show

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

func drawProp(t *rapid.T) *prop.Prop {
	return &prop.Prop{
		Chip: prop.Chip{
			Order:       rapid.SampledFrom([]prop.Order{"GRB", "RGB", "BGR", "GRBW", "WRGB", "RGBCW"}).Draw(t, "order"),
			IdleAmps:    rapid.Float64Range(0, 0.003).Draw(t, "idle"),
			ChannelAmps: rapid.Float64Range(0, 0.06).Draw(t, "channel"),
		},
		Supply: prop.Supply{
			Amps:       rapid.Float64Range(0.0001, 20).Draw(t, "amps"),
			Continuous: rapid.SampledFrom([]float64{0, 0.5, 0.8, 1, 3, -1, math.NaN()}).Draw(t, "continuous"),
		},
	}
}

func drawFrame(t *rapid.T) patterns.Frame {
	v := rapid.Uint8()
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) patterns.Colour {
		return patterns.Colour{R: v.Draw(t, "r"), G: v.Draw(t, "g"), B: v.Draw(t, "b"), W: v.Draw(t, "w"), C: v.Draw(t, "c")}
	}), 1, 80).Draw(t, "frame")
}

// amps is the current of a frame, added up pixel by pixel.
func amps(c prop.Chip, f patterns.Frame) (sum float64) {
	for _, col := range f {
		sum += power.PixelAmps(c, col)
	}
	return sum
}

// For any frame, supply, chip and level, the frame sent, after rounding, draws no more
// than rating times share, or is dark; and a frame that fits is not dimmed.
func TestLimiterHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, f := drawProp(t), drawFrame(t)
		level := rapid.OneOf(rapid.Float64Range(0, 1), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), -1, 7})).Draw(t, "level")
		l, err := newLimiter(p)
		if err != nil {
			t.Fatal(err)
		}
		share := p.Supply.Continuous
		switch {
		case math.IsNaN(share) || share <= 0:
			share = 0.8
		case share > 1:
			share = 1
		}
		allowed := p.Supply.Amps * share
		sent, got := l.take(nil, f, level)
		drawn := amps(p.Chip, sent)
		if drawn > allowed+1e-9 && !allDark(sent) {
			t.Fatalf("%g A of %g A", drawn, allowed)
		}
		if math.Abs(drawn-got.amps) > 1e-9 {
			t.Fatalf("says %g A, draws %g A", got.amps, drawn)
		}
		asked := patterns.CleanLevel(level)
		if got.level > asked {
			t.Fatal("brighter than asked")
		}
		full := make(patterns.Frame, len(f))
		for i, c := range f {
			full[i] = c.Dim(asked)
		}
		if amps(p.Chip, full) <= allowed-1e-9 && got.lowered {
			t.Fatal("lowered although it fits")
		}
		if got.level < asked && !got.lowered {
			t.Fatal("lowered without a word")
		}
		for i, c := range f {
			if sent[i] != c.Dim(got.level) {
				t.Fatalf("pixel %d is %v, not %v at level %g", i, sent[i], c, got.level)
			}
		}
	})
}

// The limiter dims no further than it must: a level one thousandth higher would exceed
// the limit.
func TestLimiterGivesWhatThereIs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, f := drawProp(t), drawFrame(t)
		l, err := newLimiter(p)
		if err != nil {
			t.Fatal(err)
		}
		_, got := l.take(nil, f, 1)
		if !got.lowered || got.level >= 0.999 {
			return
		}
		above := (math.Round(got.level*1000) + 1) / 1000
		more := make(patterns.Frame, len(f))
		for i, c := range f {
			more[i] = c.Dim(above)
		}
		if amps(p.Chip, more) < l.max-1e-9 {
			t.Fatalf("level %g, but %g would fit", got.level, above)
		}
	})
}

func TestLimiterRows(t *testing.T) {
	chip := prop.Chip{Order: "GRB", IdleAmps: 0.001, ChannelAmps: 0.02} // datasheet WS2812B 2016: under 1 mA idle, 20 mA a channel
	frame := make(patterns.Frame, 100)
	for i := range frame {
		frame[i] = patterns.Colour{R: 255, G: 255, B: 255}
	}
	rows := []struct {
		name    string
		amps    float64
		level   float64
		sent    uint8
		noLight bool
		source  string
	}{
		{"enough", 10, 1, 255, false, "by hand: 0.1 + 100*0.06 = 6.1 <= 8"},
		{"half", 5, 1, 165, false, "by hand: (4-0.1)/6*255 = 165.75, rounded values must not pass 165"},
		{"low level fits", 5, 0.2, 51, false, "by hand: 0.1 + 6*51/255 = 1.3"},
		{"idle just fits", 0.14, 1, 0, true, "by hand: 0.112-0.1 = 12 mA left, and the least light is 300*0.02/255 = 23.5 mA: dark"},
		{"the least light fits", 0.16, 1, 1, false, "by hand: 0.128-0.1 = 28 mA left"},
		{"idle is too much", 0.1, 1, 0, true, "by hand: 0.08 A for 0.1 A of dark pixels"},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			l, err := newLimiter(&prop.Prop{Chip: chip, Supply: prop.Supply{Amps: r.amps}})
			require.NoError(t, err)
			sent, got := l.take(nil, frame, r.level)
			assert.Equal(t, r.sent, sent[7].G, r.source)
			assert.Equal(t, r.noLight, got.noLight, r.source)
			assert.Equal(t, got.level < r.level, got.lowered)
		})
	}
}

// A supply too small for dark pixels is reported even when no light is wanted.
func TestLimiterTellsIdleAlone(t *testing.T) {
	l, err := newLimiter(&prop.Prop{Chip: prop.Chip{Order: "GRB", IdleAmps: 0.001, ChannelAmps: 0.02}, Supply: prop.Supply{Amps: 0.1}})
	require.NoError(t, err)
	_, got := l.take(nil, make(patterns.Frame, 100), 0)
	assert.True(t, got.noLight)
	assert.True(t, got.lowered)
}
