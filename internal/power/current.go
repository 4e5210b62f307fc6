// Package power is the copper, the currents and the supplies: what a prop
// draws, how low its voltage falls, and which fuse and wire and feeds it needs.
//
// Units: volts, amps, ohms, metres, degrees Celsius. Nothing here reads a
// clock, a file or a socket.
package power

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// PixelAmps is the current of one pixel: idle plus each channel in proportion
// to its value, as pulse-width modulation makes it. Sources for the figures
// stand with the chip table of package prop.
func PixelAmps(c prop.Chip, col patterns.Colour) float64 {
	sum := 0
	for _, ch := range c.Order.Channels() {
		sum += int(col.Get(ch))
	}
	return c.IdleAmps + float64(sum)/255*c.ChannelAmps
}
