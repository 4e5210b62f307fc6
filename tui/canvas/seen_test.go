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
			r, g, b := lift(mix(drawn), shareOf(drawn, level), level)
			assert.InDelta(t, r, g, 1, "%v", c)
			assert.InDelta(t, r, b, 1, "%v", c)
		}
	})
}

// White light in each of the bands faint, dim and full is drawn with so much contrast to the
// next: 1.25 times at least in true colour and in 256 colours, at every level, for the values next to
// the borders; within a band it is never darker than less light.
func TestDrawnLightIsApartAsItIsNamed(t *testing.T) {
	for _, level := range []float64{0.2, 0.5, 1} {
		for d, as := range map[style.Depth]func(ink) [3]uint8{style.True: bytesOf, style.Cube256: shownAs} {
			before, brightest := "dark", darkInk[d]
			var names []string
			for v := 1; v <= int(255*level); v++ {
				c := patterns.Colour{R: uint8(v), G: uint8(v), B: uint8(v)}
				drawn, name := Seen(c, level, d)
				k := inkOf(drawn, level, d)
				if name != before {
					names = append(names, name)
					assert.GreaterOrEqual(t, vision.Contrast(as(k), as(brightest)), 1.25, "%s after %s at %v, depth %d", name, before, level, d)
				}
				assert.GreaterOrEqual(t, as(k)[0], as(brightest)[0], "%d at %v", v, level)
				before, brightest = name, k
			}
			assert.Equal(t, []string{"faint", "dim white", "white"}, names)
		}
	}
}

// On one scale for all, by the value sent, the word of each of the 256 values is in its band, and
// the ink of the drawing is brighter band by band in true colour, whatever is mixed into it.
func TestOneScaleForWordsAndDrawing(t *testing.T) {
	bandOfWord := func(name string) band {
		for at := faint; at < full; at++ {
			if name == bandNames[at] || strings.HasPrefix(name, bandNames[at]+" ") {
				return at
			}
		}
		if name == "dark" {
			return none
		}
		return full
	}
	ends := map[band][2]int{none: {0, 0}, faint: {1, 15}, dimly: {16, 63}, full: {64, 255}}
	rapid.Check(t, func(t *rapid.T) {
		top := rapid.IntRange(0, 255).Draw(t, "strongest")
		less := rapid.IntRange(0, top)
		c := patterns.Colour{R: uint8(less.Draw(t, "r")), G: uint8(less.Draw(t, "g")), B: uint8(less.Draw(t, "b")), W: uint8(less.Draw(t, "w"))}
		c = c.With(rapid.SampledFrom([]patterns.Channel{patterns.Red, patterns.Green, patterns.Blue, patterns.White}).Draw(t, "of"), uint8(top))
		for _, d := range []style.Depth{style.Letters, style.Sixteen, style.Cube256, style.True} {
			drawn, name := Seen(c, 1, d)
			at := bandOfWord(name)
			assert.True(t, ends[at][0] <= top && top <= ends[at][1], "%d is %s", top, name)
			assert.Equal(t, at == none, inkOf(drawn, 1, d) == darkInk[d], "%v is %s, depth %d", c, name, d)
			assert.Equal(t, at != none && at < full, strings.ToLower(letter(drawn, 1)) == letter(drawn, 1) && letter(drawn, 1) != DarkSign, name)
		}
		drawn, _ := Seen(c, 1, style.True)
		if at := bandOf(shareOf(drawn, 1)); !drawn.Dark() {
			share := brightness(shareOf(drawn, 1))
			assert.True(t, bandShares[at][0] <= share && share <= bandShares[at][1]+1e-9, "%v", drawn)
			r, g, b := lift(mix(drawn), shareOf(drawn, 1), 1)
			assert.InDelta(t, 255*share, max(r, g, b), 1, "%v is drawn by its share", drawn)
		}
	})
}
