package canvas

import (
	"math"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// A band is how bright light is among others: by the share of the level in force, or on one scale
// for all by the value that is sent, with a level of 1.
type band uint8

// The bands.
const (
	none band = iota
	faint
	dimly
	full
)

// bandNames are the words of the bands.
var bandNames = [...]string{"dark", "faint", "dim", "white"}

// bandEnds are the shares of the level, 0 to 1, that end the bands from faint on. With less than the
// first no one can name a colour; less than the second has the small sign or letter, or the darker of
// a terminal's sixteen colours. From two metres the eye tells no more apart.
var bandEnds = [...]float64{faint: 0.06, dimly: 0.25, full: 1}

// bandOf is the band of a share of the level.
func bandOf(share float64) band {
	at := faint
	for at < full && share >= bandEnds[at] {
		at++
	}
	return at
}

// shareOf is the strongest channel of a colour as a share of the level, above 0 to 1.
func shareOf(c patterns.Colour, level float64) float64 {
	return float64(max(c.R, c.G, c.B, c.W, c.C)) / (255 * level)
}

// Seen is the light of a pixel as it is drawn, and its name: dark, faint, or a colour, dim below
// a quarter of the level (above 0 to 1). Light that is nearly white is drawn
// as white, and faint light as grey, so that name and drawing agree.
func Seen(c patterns.Colour, level float64, d style.Depth) (patterns.Colour, string) {
	top := max(c.R, c.G, c.B, c.W, c.C)
	if c.Dark() {
		return c, bandNames[none]
	}
	at := bandOf(shareOf(c, level))
	if at == faint {
		return patterns.Colour{R: top, G: top, B: top}, bandNames[faint]
	}
	name := hueNames[hue(mix(c))]
	if d == style.Cube256 || d == style.True {
		r, g, b := lift(mix(c), 1, 1)
		name = angleName(float64(r), float64(g), float64(b))
	}
	if name == hueNames[whiteHue] {
		c = white(c, top)
	}
	if at < full {
		name = bandNames[at] + " " + name
	}
	return c, name
}

// white is the light of the strongest white channel of c, or equal red, green and blue.
func white(c patterns.Colour, top uint8) patterns.Colour {
	switch top {
	case c.W:
		return patterns.Colour{W: top}
	case c.C:
		return patterns.Colour{C: top}
	}
	return patterns.Colour{R: top, G: top, B: top}
}

// hueNames are in the order of hue.
var hueNames = [8]string{"dark", "red", "green", "yellow", "blue", "magenta", "cyan", "white"}

// pale is the saturation, 0 to 1, under which a colour of a screen is called white.
const pale = 0.25

// angles are where names of colours end, in degrees round the circle of hues (red 0,
// green 120, blue 240); common practice.
var angles = []struct {
	end  float64
	name string
}{{15, "red"}, {45, "orange"}, {70, "yellow"}, {165, "green"}, {200, "cyan"}, {262, "blue"}, {285, "violet"}, {345, "magenta"}, {360, "red"}}

// angleName is the name of a colour of a screen.
func angleName(r, g, b float64) string {
	top, low := max(r, g, b), min(r, g, b)
	if top-low < pale*top {
		return hueNames[whiteHue]
	}
	at := 0.0
	switch top {
	case r:
		at = math.Mod((g-b)/(top-low)+6, 6)
	case g:
		at = (b-r)/(top-low) + 2
	default:
		at = (r-g)/(top-low) + 4
	}
	for _, a := range angles {
		if at*60 < a.end {
			return a.name
		}
	}
	return hueNames[1]
}
