package canvas

import (
	"math"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// fairly is the share of the level below which light is called dim, and drawn in small
// letters or in the darker of a terminal's sixteen colours.
const fairly = 0.5

// faintly is the share of the level below which no one can name a colour.
const faintly = 0.04

// Seen is the light of a pixel as it is drawn, and its name: dark, faint, or a colour, dim
// below half of the level (above 0 to 1). Light that is nearly white is drawn as white, so
// that name and drawing agree.
func Seen(c patterns.Colour, level float64, d style.Depth) (patterns.Colour, string) {
	top := max(c.R, c.G, c.B, c.W, c.C)
	share := float64(top) / (255 * level)
	switch {
	case c.Dark():
		return c, "dark"
	case share < faintly:
		return white(c, top), "faint"
	}
	name := hueNames[hue(mix(c))]
	if d == style.Cube256 || d == style.True {
		r, g, b := lift(mix(c), level)
		name = angleName(float64(r), float64(g), float64(b))
	}
	if name == hueNames[7] {
		c = white(c, top)
	}
	if share < fairly {
		name = "dim " + name
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
		return hueNames[7]
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
