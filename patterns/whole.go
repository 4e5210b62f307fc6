package patterns

import "fmt"

// Colours lights all pixels by one slot at a time, in wire order.
var Colours = Pattern{
	ID: "colours", Name: "Colours in turn", Stepped: true, Loops: true, OnePixel: true,
	About:   "Drives the first slot of every pixel, then the second, and so on: shows the colour order.",
	Count:   func(s Settings) int { return len(s.channels()) },
	Fastest: func(Settings) float64 { return wholeLimit },
	Expect: func(s Settings, at Moment) string {
		chs := s.channels()
		i := clampTo(at.Step, len(chs))
		if s.Pixels == 1 {
			return fmt.Sprintf("The only pixel is %s and nothing else: slot %d of %d is driven.", chs[i], i+1, len(chs))
		}
		return fmt.Sprintf("Every pixel is %s and nothing else: slot %d of %d is driven.", chs[i], i+1, len(chs))
	},
	Frame: func(dst Frame, s Settings, at Moment) Frame {
		chs := s.channels()
		return fill(dst, s.Pixels, Colour{}.With(chs[clampTo(at.Step, len(chs))], 255))
	},
}

// Even lights every pixel with the same colour.
var Even = Pattern{
	ID: "even", Name: "Even light", OnePixel: true,
	About: "Every pixel in one colour: shows a dead or odd pixel, and a far end that goes yellow.",
	Expect: func(s Settings, _ Moment) string {
		if s.Pixels == 1 {
			return fmt.Sprintf("The only pixel is lit, %s.", s.colourOr(white).Words())
		}
		return fmt.Sprintf("All %d pixels are %s, alike in colour and brightness.", s.Pixels, s.colourOr(white).Words())
	},
	Frame: func(dst Frame, s Settings, _ Moment) Frame { return fill(dst, s.Pixels, s.colourOr(white)) },
}

// Black lights nothing.
var Black = Pattern{
	ID: "black", Name: "Black", OnePixel: true,
	About: "Everything dark: whatever still glows is not driven by this universe, or is broken.",
	Expect: func(s Settings, _ Moment) string {
		if s.Pixels == 1 {
			return "The only pixel is dark."
		}
		return "Every pixel is dark."
	},
	Frame: func(dst Frame, s Settings, _ Moment) Frame { return dark(dst, s.Pixels) },
}

// channels are the chip's, or red, green, blue when none are given.
func (s Settings) channels() []Channel {
	if len(s.Channels) == 0 {
		return rgb
	}
	return s.Channels
}

var rgb = []Channel{Red, Green, Blue}

func fill(dst Frame, n int, c Colour) Frame {
	dst = dark(dst, n)
	for i := range dst {
		dst[i] = c
	}
	return dst
}
