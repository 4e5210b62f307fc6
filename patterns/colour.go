package patterns

import (
	"fmt"
	"slices"
	"strings"
)

// A Channel is one light inside a pixel: a slot of the universe drives it.
type Channel uint8

// The channels a chip can have. White is the only or the warm white of a
// pixel; Cool is the second white of a five-slot bulb.
const (
	Red Channel = iota
	Green
	Blue
	White
	Cool
	NumChannels = 5
)

// Letter is the letter a colour order is written with: R, G, B, W or C.
func (c Channel) Letter() byte { return "RGBWC"[c] }

// String names the channel in words.
func (c Channel) String() string {
	return [NumChannels]string{"red", "green", "blue", "white", "cool white"}[c]
}

// A Colour is the light of one pixel, each channel 0 (dark) to 255 (full).
// Chips without a channel ignore it.
type Colour struct{ R, G, B, W, C uint8 }

// Get is the value of one channel.
func (c Colour) Get(ch Channel) uint8 {
	return [NumChannels]uint8{c.R, c.G, c.B, c.W, c.C}[ch]
}

// With is the colour with one channel set to v.
func (c Colour) With(ch Channel, v uint8) Colour {
	switch ch {
	case Red:
		c.R = v
	case Green:
		c.G = v
	case Blue:
		c.B = v
	case White:
		c.W = v
	case Cool:
		c.C = v
	}
	return c
}

// Dark reports whether no channel is lit.
func (c Colour) Dark() bool { return c == Colour{} }

// A Frame is the colours of all pixels of a prop at one moment, in data
// order: index 0 is the pixel the data reaches first.
type Frame []Colour

var white = Colour{R: 255, G: 255, B: 255}

// A NamedColour is a colour that the screens offer.
type NamedColour struct {
	Name   string
	Colour Colour
}

// Palette is the colours that the screens offer, white first. White is red,
// green and blue together, so that it needs no white channel; the white of an
// RGBW pixel is a separate channel.
var Palette = []NamedColour{
	{"white", white},
	{"red", Colour{R: 255}},
	{"green", Colour{G: 255}},
	{"blue", Colour{B: 255}},
	{"yellow", Colour{R: 255, G: 255}},
	{"cyan", Colour{G: 255, B: 255}},
	{"magenta", Colour{R: 255, B: 255}},
	{"white channel", Colour{W: 255}},
	{"cool white channel", Colour{C: 255}},
}

// PaletteFor is the part of Palette that a chip with these channels can show.
func PaletteFor(channels []Channel) []NamedColour {
	var out []NamedColour
	for _, n := range Palette {
		if n.Colour.W > 0 && !slices.Contains(channels, White) ||
			n.Colour.C > 0 && !slices.Contains(channels, Cool) {
			continue
		}
		out = append(out, n)
	}
	return out
}

// Words names the colour: as in Palette, or by its channel values.
func (c Colour) Words() string {
	if c.Dark() {
		return "dark"
	}
	for _, n := range Palette {
		if n.Colour == c {
			return n.Name
		}
	}
	var b strings.Builder
	for ch := range Channel(NumChannels) {
		if v := c.Get(ch); v > 0 {
			fmt.Fprintf(&b, " %s %d", ch, v)
		}
	}
	return b.String()[1:]
}

// part is num/den of the colour; lit channels stay lit.
func (c Colour) part(num, den int) Colour {
	f := func(v uint8) uint8 {
		if v == 0 {
			return 0
		}
		return uint8(max(1, int(v)*num/den))
	}
	return Colour{f(c.R), f(c.G), f(c.B), f(c.W), f(c.C)}
}
