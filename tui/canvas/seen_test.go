package canvas

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/vision"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// The colours of CSS Color Module Level 4, 6.1, by their names there (lime is its full
// green, blueviolet its violet), as the light that a screen makes of them.
func TestColoursAreCalledWhatTheyAre(t *testing.T) {
	led := func(r, g, b float64) patterns.Colour {
		l := func(v float64) uint8 { return uint8(math.Pow(v/255, 2.2)*255 + 0.5) }
		return patterns.Colour{R: l(r), G: l(g), B: l(b)}
	}
	for _, row := range []struct {
		c    patterns.Colour
		fine string
		bare string // without colours, and in sixteen
	}{
		{led(0xff, 0, 0), "red", "red"}, {led(0xff, 0xa5, 0), "orange", "red"}, {led(0xff, 0xff, 0), "yellow", "yellow"},
		{led(0, 0xff, 0), "green", "green"}, {led(0, 0xff, 0xff), "cyan", "cyan"}, {led(0, 0, 0xff), "blue", "blue"},
		{led(0x8a, 0x2b, 0xe2), "violet", "blue"}, {led(0xff, 0, 0xff), "magenta", "magenta"}, {led(0xff, 0xff, 0xff), "white", "white"},
		{led(0xdc, 0xdc, 0xdc), "white", "white"}, {led(0, 0, 0), "dark", "dark"},
	} {
		for _, d := range []style.Depth{style.True, style.Cube256} {
			_, name := Seen(row.c, 1, d)
			assert.Equal(t, row.fine, name, "%v", row.c)
		}
		for _, d := range []style.Depth{style.Letters, style.Sixteen} {
			_, name := Seen(row.c, 1, d)
			assert.Equal(t, row.bare, strings.TrimPrefix(name, "dim "), "%v", row.c)
		}
	}
	for _, n := range patterns.Palette {
		if n.Colour.W == 0 && n.Colour.C == 0 {
			_, name := Seen(n.Colour.Dim(0.2), 0.2, style.Letters)
			assert.Equal(t, n.Name, name)
		}
	}
}

// What is said of a pixel is what is drawn: its letter is the first of its name, a
// capital unless it is dim, and white is drawn without a tint.
func TestNameAndDrawingAgree(t *testing.T) {
	p := &prop.Prop{Runs: []prop.Run{{Pixels: 1, Shape: prop.Shape{Kind: prop.Line}}, {Pixels: 1, Shape: prop.Shape{Kind: prop.Line}}}}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Uint8()
		c := patterns.Colour{R: v.Draw(t, "r"), G: v.Draw(t, "g"), B: v.Draw(t, "b")}
		level := float64(max(c.R, c.G, c.B, 1)) / 255 * rapid.Float64Range(1, 40).Draw(t, "above")
		level = min(1, level)
		drawn, name := Seen(c, level, style.Letters)
		pic := New(p, nil, Rows, 20, 2, style.Letters)
		pic.SetFrame(patterns.Frame{drawn, {}}, level)
		sign := strings.Trim(pic.Lines()[0], " 0123456789▶›")
		assert.Equal(t, vision.Letter(name), sign, "%v is %s", c, name)
		drawn, name = Seen(c, level, style.True)
		if strings.HasSuffix(name, "white") || name == "faint" {
			r, g, b := lift(mix(drawn), level)
			assert.InDelta(t, r, g, 1, "%v", c)
			assert.InDelta(t, r, b, 1, "%v", c)
		}
	})
}

// White light that is named faint, dim or with no such word is drawn with so much contrast to the
// next: 1.25 times at least in true colour, at every level, for the values next to the borders.
func TestDrawnLightIsApartAsItIsNamed(t *testing.T) {
	for _, level := range []float64{0.2, 0.5, 1} {
		before, brightest := "dark", darkInk[style.True]
		for v := 1; v <= int(255*level); v++ {
			c := patterns.Colour{R: uint8(v), G: uint8(v), B: uint8(v)}
			_, name := Seen(c, level, style.True)
			k := inkOf(c, level, style.True)
			if name != before {
				assert.GreaterOrEqual(t, vision.Contrast(bytesOf(k), bytesOf(brightest)), 1.25, "%s after %s at %v", name, before, level)
			}
			before, brightest = name, k
		}
		assert.Equal(t, "white", before)
	}
}
