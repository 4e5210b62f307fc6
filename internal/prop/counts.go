package prop

import (
	"fmt"
	"math"
)

// A Fit is the number of pixels on a length of tube. Strip can be cut only at its pads,
// half-way between two pixels (or groups), so a length in between is rounded. Fit has
// both roundings:
//
//   - Whole rounds down: the most pixels whose strip is no longer than the
//     length. A count worked out from a length uses this.
//   - Nearest rounds to the nearest pad; the strip may then be up to half a
//     pitch longer than the tube.
type Fit struct {
	Length  float64 // requested length in metres
	Pitch   float64 // metres from pad to pad
	Whole   int
	Nearest int
}

// roundingSlack, in pixels, absorbs binary rounding: 0.6 m at 60 a metre is 36, not
// 35.999999999999996.
const roundingSlack = 1e-9

// FitLength counts the pixels of chip c that fit the given metres of tube. A bulb has
// no pitch, so none fit.
func FitLength(metres float64, c Chip) Fit {
	f := Fit{Length: metres, Pitch: c.Pitch()}
	if f.Pitch == 0 || !(metres > 0) {
		return f
	}
	exact := metres / f.Pitch
	f.Whole = int(math.Min(exact+roundingSlack, MaxPixels+1))
	f.Nearest = int(math.Min(math.Round(exact), MaxPixels+1))
	return f
}

// Left is the metres of tube that Whole pixels leave unlit.
func (f Fit) Left() float64 { return math.Max(0, f.Length-float64(f.Whole)*f.Pitch) }

// Over is the metres by which the strip of Nearest pixels is longer than the tube;
// negative when it is shorter.
func (f Fit) Over() float64 { return float64(f.Nearest)*f.Pitch - f.Length }

// Say describes the fit in the units of the file.
func (f Fit) Say(inches bool) string {
	s := fmt.Sprintf("%d pixels fit whole, %s of tube stays unlit", f.Whole, FormatLength(f.Left(), inches))
	if f.Nearest != f.Whole {
		s += fmt.Sprintf("; %d is the nearest pad, %s past the end", f.Nearest, FormatLength(f.Over(), inches))
	}
	return s
}

// StripLength is the metres of strip that n pixels of chip c take.
func StripLength(n int, c Chip) float64 { return float64(n) * c.Pitch() }
