package canvas

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/vision"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

func bytesOf(k ink) [3]uint8 { return [3]uint8{uint8(k >> 16), uint8(k >> 8), uint8(k)} }

func seen(k vision.Kind, c ink) [3]uint8 {
	r, g, b := vision.Seen(k, bytesOf(c))
	return [3]uint8{r, g, b}
}

// A lit pixel of any colour differs from a dark one, and both from the mat, for
// every eye and at the levels that props are run at: by 20 in CIE 1976, which is
// another colour, and not a shade of the same.
func TestLitAndDarkDifferForEveryEye(t *testing.T) {
	colours := patterns.PaletteFor([]patterns.Channel{patterns.Red, patterns.Green, patterns.Blue, patterns.White})
	for _, k := range vision.Kinds() {
		dark, ground := seen(k, darkInk[style.True]), seen(k, mat[style.True])
		assert.Greater(t, vision.Apart(dark, ground), 20.0, "dark pixels on the mat, %s", k)
		for _, c := range colours {
			for _, level := range []float64{0.03, 0.2, 1} {
				lit := seen(k, inkOf(c.Colour.Dim(level), level, style.True))
				assert.Greater(t, vision.Apart(lit, dark), 20.0, "%s at %v, %s", c.Name, level, k)
				assert.Greater(t, vision.Apart(lit, ground), 30.0, "%s at %v, %s", c.Name, level, k)
			}
		}
	}
}

// shownAs is an ink of 256 colours as xterm has them: a cube of six steps and a ramp of
// greys, after sixteen that each terminal chooses for itself (xterm's own here).
func shownAs(k ink) [3]uint8 {
	n := int(k & 255)
	if style.Depth(k>>24) == style.Sixteen {
		n -= 30
		if n >= 60 {
			n += 8 - 60
		}
		sixteen := [16][3]uint8{{0, 0, 0}, {205, 0, 0}, {0, 205, 0}, {205, 205, 0}, {0, 0, 238}, {205, 0, 205}, {0, 205, 205}, {229, 229, 229},
			{127, 127, 127}, {255, 0, 0}, {0, 255, 0}, {255, 255, 0}, {92, 92, 255}, {255, 0, 255}, {0, 255, 255}, {255, 255, 255}}
		return sixteen[n]
	}
	if n >= 232 {
		v := uint8(8 + 10*(n-232))
		return [3]uint8{v, v, v}
	}
	steps := [6]uint8{0, 95, 135, 175, 215, 255}
	n -= 16
	return [3]uint8{steps[n/36], steps[n/6%6], steps[n%6]}
}

// The same holds in 256 and in sixteen colours: lit, dark and mat differ for every eye,
// by 17 at least, as there are fewer to choose from, and light of a quarter by 13.
func TestLitAndDarkDifferInFewerColours(t *testing.T) {
	colours := patterns.PaletteFor([]patterns.Channel{patterns.Red, patterns.Green, patterns.Blue, patterns.White})
	for _, depth := range []style.Depth{style.Cube256, style.Sixteen} {
		for _, k := range vision.Kinds() {
			as := func(c ink) [3]uint8 {
				r, g, b := vision.Seen(k, shownAs(c))
				return [3]uint8{r, g, b}
			}
			dark, ground := as(darkInk[depth]), as(mat[depth])
			assert.Greater(t, vision.Apart(dark, ground), 20.0, "dark pixels on the mat, %s", k)
			for _, c := range colours {
				for _, level := range []float64{0.2, 1} {
					full, faint := inkOf(c.Colour.Dim(level), level, depth), inkOf(c.Colour.Dim(level/4), level, depth)
					assert.True(t, full != faint || depth == style.Sixteen, "%s and a quarter of it at %v, depth %d", c.Name, level, depth)
				}
				for _, level := range []float64{0.03, 0.2, 1} {
					for _, share := range []float64{0.25, 1} { // the ruler's dim marks, and full light
						if level < 0.1 && share < 1 {
							continue // 2 of 255 are left of it: 8 bits decide, not the palette
						}
						lit := as(inkOf(c.Colour.Dim(level*share), level, depth))
						least := 17.0
						if share < 1 {
							least = 13
						}
						assert.Greater(t, vision.Apart(lit, dark), least, "%s at %v, %v of it, %s, depth %d", c.Name, level, share, k, depth)
						assert.Greater(t, vision.Apart(lit, ground), 20.0, "%s at %v, %v of it, %s, depth %d", c.Name, level, share, k, depth)
					}
				}
			}
		}
	}
}

// Light is brighter than a pixel that is not lit, however faint: the ruler's dim blue too.
func TestLightIsBrighterThanNoLight(t *testing.T) {
	colours := patterns.PaletteFor([]patterns.Channel{patterns.Red, patterns.Green, patterns.Blue, patterns.White})
	for _, c := range colours {
		for _, level := range []float64{0.2, 1} {
			for _, share := range []float64{0.1, 0.25, 1} {
				k := inkOf(c.Colour.Dim(level*share), level, style.True)
				assert.Greater(t, vision.Contrast(bytesOf(k), [3]uint8{}), vision.Contrast(bytesOf(darkInk[style.True]), [3]uint8{}), "%s at %v of %v", c.Name, share, level)
				k = inkOf(c.Colour.Dim(level*share), level, style.Cube256)
				assert.Greater(t, vision.Contrast(shownAs(k), [3]uint8{}), vision.Contrast(shownAs(darkInk[style.Cube256]), [3]uint8{}), "%s at %v of %v, 256 colours", c.Name, share, level)
			}
		}
	}
}

// A pixel that is not lit is seen on the mat: 3:1 (WCAG 2.1 1.4.11), for every eye and in
// every palette.
func TestDarkPixelsAreSeen(t *testing.T) {
	for _, k := range vision.Kinds() {
		for _, depth := range []style.Depth{style.True, style.Cube256, style.Sixteen} {
			dark, ground := darkInk[depth], mat[depth]
			as := shownAs
			if depth == style.True {
				as = bytesOf
			}
			seen := func(c ink) [3]uint8 {
				r, g, b := vision.Seen(k, as(c))
				return [3]uint8{r, g, b}
			}
			assert.GreaterOrEqual(t, vision.Contrast(seen(dark), seen(ground)), 3.0, "%s, depth %d", k, depth)
			assert.GreaterOrEqual(t, vision.Contrast(seen(dotInk[depth]), seen(ground)), 3.0, "the dot, %s, depth %d", k, depth)
		}
	}
}

// The faintest light has 1.5:1 against a dark pixel in true colour, and the dimmer white
// pixels of a count 3:1; in 256 colours, whose next step is full light, 2.7:1.
func TestLightStandsOutFromDarkPixels(t *testing.T) {
	for _, c := range patterns.PaletteFor([]patterns.Channel{patterns.Red, patterns.Green, patterns.Blue, patterns.White}) {
		for _, level := range []float64{0.03, 0.2, 1} {
			lit := inkOf(c.Colour.Dim(level/4), level, style.True)
			if c.Colour.Dim(level / 4).Dark() {
				continue
			}
			assert.GreaterOrEqual(t, vision.Contrast(bytesOf(lit), bytesOf(darkInk[style.True])), 1.49, "%s at %v", c.Name, level)
		}
	}
	quarter := patterns.Colour{R: 64, G: 64, B: 64}
	for _, level := range []float64{0.2, 1} {
		c := quarter.Dim(level)
		assert.GreaterOrEqual(t, vision.Contrast(bytesOf(inkOf(c, level, style.True)), bytesOf(darkInk[style.True])), 3.0, level)
		assert.GreaterOrEqual(t, vision.Contrast(shownAs(inkOf(c, level, style.Cube256)), shownAs(darkInk[style.Cube256])), 2.7, level)
	}
}

// The signs of the way are seen on the mat (3:1, WCAG 2.1 1.4.11), and the one
// that pulses differs from the others, for every eye.
func TestTheWayIsSeenByEveryEye(t *testing.T) {
	for _, k := range vision.Kinds() {
		ground := seen(k, mat[style.True])
		for _, c := range []ink{wayInk[style.True], brassInk[style.True]} {
			assert.GreaterOrEqual(t, vision.Contrast(seen(k, c), ground), 3.0, k)
		}
		assert.Greater(t, vision.Apart(seen(k, wayInk[style.True]), seen(k, brassInk[style.True])), 10.0, k)
	}
}

// Dim and faint light have another sign than brighter light and than a dark pixel: shades of one colour
// look alike from two metres.
func TestSignsTellLightFromDark(t *testing.T) {
	for _, c := range patterns.PaletteFor([]patterns.Channel{patterns.Red, patterns.Green, patterns.Blue, patterns.White}) {
		for _, level := range []float64{0.2, 1} {
			sign := func(share float64) string { return SignOf(c.Colour.Dim(level*share), level) }
			assert.Equal(t, "■", sign(1), c.Name)
			assert.Equal(t, "■", sign(0.35), c.Name)
			assert.Equal(t, "▪", sign(0.2), c.Name)
			assert.Equal(t, "▪", sign(0.02), c.Name)
		}
	}
	assert.Equal(t, "•", SignOf(patterns.Colour{}, 1))
}

// A bulb that gives faint light, or none, is drawn with ground in between, in every palette: its area
// would look bright in any shade that is seen on the ground.
func TestAFaintBulbLooksFaint(t *testing.T) {
	for _, d := range []style.Depth{style.Sixteen, style.Cube256, style.True} {
		for v, full := range map[uint8]bool{0: false, 6: false, 255: true} {
			c := New(prop.BuoyLamp(), nil, Shape, 30, 12, d)
			c.SetFrame(patterns.Frame{{R: v, G: v, B: v}}, 1)
			all := strings.Join(c.Lines(), "")
			assert.Equal(t, full, strings.ContainsAny(all, "█▀▄"), "%d at depth %d", v, d)
			assert.Equal(t, !full, strings.ContainsAny(all, "░•"), "%d at depth %d", v, d)
		}
	}
}

// In sixteen colours one bright pixel among fainter ones is seen, as is a faint one among
// dark ones; blue keeps its brighter colour.
func TestSixteenColoursTellFaintFromBright(t *testing.T) {
	for _, level := range []float64{1, 0.2} {
		dim := func(v uint8) patterns.Colour {
			w := uint8(float64(v) * level)
			return patterns.Colour{R: w, G: w, B: w}
		}
		bright, faint, dark := inkOf(dim(255), level, style.Sixteen), inkOf(dim(56), level, style.Sixteen), inkOf(patterns.Colour{}, level, style.Sixteen)
		assert.NotEqual(t, bright, faint)
		assert.NotEqual(t, faint, dark)
		assert.NotEqual(t, bright, dark)
		assert.Equal(t, inkOf(patterns.Colour{B: uint8(255 * level)}, level, style.Sixteen), inkOf(patterns.Colour{B: uint8(70 * level)}, level, style.Sixteen))
	}
}
