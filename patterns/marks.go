package patterns

import (
	"fmt"
	"strconv"
	"strings"
)

// Marks differ in brightness and width as well as in colour, since before the
// colour order is known a colour proves nothing.
var (
	firstMark = Colour{G: 255}
	lastMark  = Colour{R: 255}
	fiveMark  = Colour{B: 56} // dim as a drawing has it: under a quarter
	tenMark   = Colour{G: 255}
	hundred   = Colour{R: 255}
)

// Ends marks the first and the last pixel of each run.
var Ends = Pattern{
	ID: "ends", Name: "First and last",
	About:  "Marks where each run begins and ends: shows runs wired out of turn, and a count that is off.",
	Expect: expectEnds,
	Frame: func(dst Frame, s Settings, _ Moment) Frame {
		dst = dark(dst, s.Pixels)
		for r := range max(1, len(s.Starts)) {
			first, last := s.run(r)
			if first < 0 || last >= s.Pixels || first > last {
				continue
			}
			if wideEnd(last - first + 1) {
				dst[last-1] = lastMark
			}
			dst[last] = lastMark
			dst[first] = firstMark
		}
		return dst
	},
}

// run is the first and the last pixel of run r.
func (s Settings) run(r int) (first, last int) {
	last = s.Pixels - 1
	if len(s.Starts) == 0 {
		return 0, last
	}
	if r+1 < len(s.Starts) {
		last = s.Starts[r+1] - 1
	}
	return s.Starts[r], last
}

// wideEnd reports whether a run is long enough for an end mark of two pixels.
func wideEnd(pixels int) bool { return pixels >= 4 }

// mostListed is the number of runs up to which what to expect names the pixels of each.
const mostListed = 6

func expectEnds(s Settings, _ Moment) string {
	var b strings.Builder
	if len(s.Starts) > mostListed {
		return s.expectManyEnds()
	}
	for r := range max(1, len(s.Starts)) {
		first, last := s.run(r)
		if first < 0 || last >= s.Pixels || first > last {
			continue
		}
		if len(s.Starts) > 1 {
			fmt.Fprintf(&b, "Run %d: ", r+1)
		}
		switch n := last - first + 1; {
		case n == 1:
			fmt.Fprintf(&b, "pixel %d green. ", first+1)
		case wideEnd(n):
			fmt.Fprintf(&b, "pixel %d green, pixels %d and %d red. ", first+1, last, last+1)
		default:
			fmt.Fprintf(&b, "pixel %d green, pixel %d red. ", first+1, last+1)
		}
	}
	b.WriteString("All others dark.")
	return b.String()
}

// expectManyEnds says what all runs have in common, and where they begin.
func (s Settings) expectManyEnds() string {
	const most = 6 // runs whose first pixels are listed
	short := false
	var starts []string
	for r := range s.Starts {
		first, last := s.run(r)
		if first < 0 || last >= s.Pixels || first > last {
			continue
		}
		short = short || !wideEnd(last-first+1)
		starts = append(starts, strconv.Itoa(first+1))
	}
	text := fmt.Sprintf("In each of %d runs the first pixel is green, the last two are red", len(starts))
	if short {
		text += ", in runs under 4 pixels the last one"
	}
	more := ""
	if n := len(starts) - most; n > 0 {
		starts, more = starts[:most], fmt.Sprintf(" and %d more", n)
	}
	return text + ". All others dark. Runs begin at " + strings.Join(starts, ", ") + more + "."
}

// Ruler marks every fifth, tenth and hundredth pixel.
var Ruler = Pattern{
	ID: "ruler", Name: "Ruler",
	About:  "Marks every fifth, tenth and hundredth pixel: read a pixel's number off the strip.",
	Expect: expectRuler,
	Frame: func(dst Frame, s Settings, _ Moment) Frame {
		dst = dark(dst, s.Pixels)
		for n := 5; n <= s.Pixels; n += 5 {
			switch {
			case n%100 == 0: // three wide
				dst[s.pixel(n-2)], dst[s.pixel(n-1)] = hundred, hundred
				if n < s.Pixels {
					dst[s.pixel(n)] = hundred
				}
			case n%10 == 0:
				dst[s.pixel(n-1)] = tenMark
			default:
				dst[s.pixel(n-1)] = fiveMark
			}
		}
		return dst
	},
}

func expectRuler(s Settings, _ Moment) string {
	end := "data"
	if s.Reverse {
		end = "far"
	}
	switch {
	case s.Pixels == 1:
		return "All dark: the first mark is on pixel 5, and there is only one."
	case s.Pixels < 5:
		return fmt.Sprintf("All dark: the first mark is on pixel 5, and there are only %d.", s.Pixels)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "From the %s end: every fifth pixel dim blue", end)
	if s.Pixels >= 10 {
		b.WriteString(", tenth bright green")
	}
	if s.Pixels >= 100 {
		b.WriteString(", hundredth red, 3 wide")
	}
	switch last := s.Pixels / 5 * 5; s.Pixels - last {
	case 0:
		fmt.Fprintf(&b, ". The last pixel is mark %d.", last)
	case 1:
		fmt.Fprintf(&b, ". One pixel follows the last mark, %d.", last)
	default:
		fmt.Fprintf(&b, ". %d pixels follow the last mark, %d.", s.Pixels-last, last)
	}
	return b.String()
}
