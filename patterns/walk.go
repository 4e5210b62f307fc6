package patterns

import "fmt"

// Chase walks one lit pixel along the strip and starts over.
var Chase = Pattern{
	ID: "chase", Name: "Chase", Stepped: true, Loops: true, ByPixel: true,
	About:   "One lit pixel walks the strip: shows which way data travels and where it stops.",
	Count:   pixelSteps,
	Fastest: walkLimit,
	Number:  walkNumber,
	Expect: func(s Settings, at Moment) string {
		if s.Pixels == 1 {
			return onlyPixel(s)
		}
		way := "from the data end to the far end"
		if s.Reverse {
			way = "from the far end to the data end"
		}
		return fmt.Sprintf("Only pixel %d of %d is lit, %s; the light walks %s and starts over.",
			walkNumber(s, at), s.Pixels, s.colourOr(white).Words(), way)
	},
	Frame: onePixel,
}

// Single lights one pixel that the builder moves.
var Single = Pattern{
	ID: "single", Name: "Single pixel", Stepped: true, ByPixel: true,
	About:   "One lit pixel that stays where you put it: tells a pixel's number, and a joint's.",
	Count:   pixelSteps,
	Fastest: walkLimit,
	Number:  walkNumber,
	Expect: func(s Settings, at Moment) string {
		if s.Pixels == 1 {
			return onlyPixel(s)
		}
		return fmt.Sprintf("Only pixel %d of %d is lit, %s; all others are dark.",
			walkNumber(s, at), s.Pixels, s.colourOr(white).Words())
	},
	Frame: onePixel,
}

// CountUp lights one more pixel each step and holds when all are lit. The
// newest pixel is full, those before it a quarter: the end is easy to see and
// a long strip does not sag while it is counted.
var CountUp = Pattern{
	ID: "count-up", Name: "Count up", Stepped: true, ByPixel: true, Counts: true,
	About:   "One more pixel each step: count until no more light up, and you know how many there are.",
	Count:   pixelSteps,
	Fastest: walkLimit,
	Number:  func(s Settings, at Moment) int { return 1 + clampTo(at.Step, s.Pixels) },
	Expect:  expectCountUp,
	Frame: func(dst Frame, s Settings, at Moment) Frame {
		dst = dark(dst, s.Pixels)
		if s.Pixels < 1 {
			return dst
		}
		c, last := s.colourOr(white), clampTo(at.Step, s.Pixels)
		dim := c.part(1, 4)
		for i := range last {
			dst[s.pixel(i)] = dim
		}
		dst[s.pixel(last)] = c
		return dst
	},
}

func expectCountUp(s Settings, at Moment) string {
	n, c := 1+clampTo(at.Step, s.Pixels), s.colourOr(white).Words()
	end := "data"
	if s.Reverse {
		end = "far"
	}
	switch {
	case s.Pixels == 1:
		return onlyPixel(s)
	case n == 1:
		return fmt.Sprintf("Only the first pixel from the %s end is lit, %s.", end, c)
	case n == s.Pixels:
		return fmt.Sprintf("All %d pixels are lit, %s: the last one bright, the others dim.", n, c)
	}
	return fmt.Sprintf("%d of %d pixels are lit from the %s end, %s: the newest bright, the others dim; the rest are dark.",
		n, s.Pixels, end, c)
}

// onlyPixel describes a prop of one pixel: a bulb has no ends to walk between.
func onlyPixel(s Settings) string {
	return fmt.Sprintf("The only pixel is lit, %s.", s.colourOr(white).Words())
}

func pixelSteps(s Settings) int { return s.Pixels }

// walkNumber is the number from 1, in data order, of the pixel lit at a step.
func walkNumber(s Settings, at Moment) int { return 1 + s.pixel(clampTo(at.Step, s.Pixels)) }

// clampTo clamps step to 0..n-1, since Frame must accept any step.
func clampTo(step, n int) int { return max(min(step, n-1), 0) }

func onePixel(dst Frame, s Settings, at Moment) Frame {
	dst = dark(dst, s.Pixels)
	if s.Pixels < 1 {
		return dst
	}
	dst[s.pixel(clampTo(at.Step, s.Pixels))] = s.colourOr(white)
	return dst
}
