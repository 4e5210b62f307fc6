package patterns

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
