// Package power works out what current a prop draws, how low its voltage falls,
// and which fuses, wires, feeds and supplies it needs.
//
// Units: volts, amps, ohms, metres, degrees Celsius. Pixels count from 0 in
// data order. Levels run from 0 to 1. Nothing here reads a clock, a file or a
// socket.
//
// There are two models of a pixel. With constant current a pixel draws its full
// current at any voltage: that is the cautious limit. A sagging pixel draws
// less as its voltage falls, as real strip does (see Law).
package power

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// PixelAmps is the current of one pixel, amps: idle plus each channel in
// proportion to its value, 0 to 255, as pulse-width modulation makes it:
// I = idle + Σ value/255 · channel. A part of the later WS2812B kind, 12 mA a
// channel and just under 1 mA dark, has 37 mA in white by this; one was measured
// at 33.25. Sources for the figures are with the chip table of package prop.
// It allocates nothing.
func PixelAmps(c prop.Chip, col patterns.Colour) float64 {
	red, rest := channelSums(c.Order, col)
	return c.IdleAmps + float64(red+rest)/255*c.ChannelAmps
}

// FrameAmps is the current of all pixels of a frame.
func FrameAmps(c prop.Chip, f patterns.Frame) (amps float64) {
	for _, p := range f {
		amps += PixelAmps(c, p)
	}
	return amps
}

// channelSums adds up the values of the channels the chip has, 0 to 255 each:
// red by itself, since its LED needs 2.0 to 2.2 V where green and blue need 3.0
// to 3.4 (WS2812B datasheet); a white is a blue LED under phosphor.
func channelSums(o prop.Order, col patterns.Colour) (red, rest int) {
	for i := range len(o) {
		switch o[i] {
		case 'R':
			red += int(col.R)
		case 'G':
			rest += int(col.G)
		case 'B':
			rest += int(col.B)
		case 'W':
			rest += int(col.W)
		case 'C':
			rest += int(col.C)
		}
	}
	return red, rest
}

// A Draw is the current of one pixel at full voltage, amps: dark, for its red,
// and for all its other channels. Red is separate because its LED stays lit at
// voltages where green, blue and white fade.
type Draw struct{ Idle, Red, Rest float64 }

// Amps is the whole draw.
func (d Draw) Amps() float64 { return d.Idle + d.Red + d.Rest }

// light is the part that the level scales.
func (d Draw) light() float64 { return d.Red + d.Rest }

// DrawOf is the draw of a pixel with the colour at a level from 0 to 1. The
// level is applied without rounding to whole slot values.
func DrawOf(c prop.Chip, col patterns.Colour, level float64) Draw {
	red, rest := channelSums(c.Order, col)
	each := c.ChannelAmps / 255 * level
	return Draw{Idle: c.IdleAmps, Red: float64(red) * each, Rest: float64(rest) * each}
}

// FullWhite is the colour with every channel at full: the most a pixel draws.
func FullWhite() patterns.Colour {
	return patterns.Colour{R: 255, G: 255, B: 255, W: 255, C: 255}
}
