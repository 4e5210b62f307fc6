package patterns

import "fmt"

// Sweep runs one bright pixel along the strip with a fading tail after it. Head
// and tail differ in colour, brightness and length, so its direction is clear
// even in a photograph.
var Sweep = Pattern{
	ID: "sweep", Name: "Travel sweep", Stepped: true, Loops: true,
	About:   "A white head drags a fading tail: shows the way data travels at one look.",
	Count:   func(s Settings) int { return s.Pixels + tail(s.Pixels) },
	Fastest: passLimit,
	Number: func(s Settings, at Moment) int {
		return 1 + s.pixel(clampTo(at.Step, s.Pixels))
	},
	Expect: func(s Settings, at Moment) string {
		way := "from the data end to the far end"
		if s.Reverse {
			way = "from the far end to the data end"
		}
		c, k := s.colourOr(sweepTail).Words(), tail(s.Pixels)
		if at.Step >= s.Pixels {
			return fmt.Sprintf("The white head has run off the end; the fading %s tail follows it, %s.", c, way)
		}
		return fmt.Sprintf("A bright white pixel at %d of %d runs %s. A fading %s tail of up to %d follows it.",
			1+s.pixel(clampTo(at.Step, s.Pixels)), s.Pixels, way, c, k)
	},
	Frame: func(dst Frame, s Settings, at Moment) Frame {
		dst = dark(dst, s.Pixels)
		c, k := s.colourOr(sweepTail), tail(s.Pixels)
		head := clampTo(at.Step, s.Pixels+k)
		for i := 1; i <= k; i++ {
			if p := head - i; p >= 0 && p < s.Pixels {
				dst[s.pixel(p)] = c.part(k+1-i, 2*(k+1)) // at most half the head
			}
		}
		if head < s.Pixels {
			dst[s.pixel(head)] = white
		}
		return dst
	},
}

var sweepTail = Colour{B: 255}

// tail is the length of the sweep's tail: at most a quarter of the strip.
func tail(pixels int) int { return min(12, max(1, pixels/4)) }
