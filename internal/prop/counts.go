package prop

import (
	"fmt"
	"math"
)

// A Fit is how many pixels a length of tube takes. Strip can be cut only at
// its pads, half-way between two pixels (or groups), so a length in between
// must be rounded, and the Fit says both ways:
//
//   - Whole rounds down: the most pixels whose strip is no longer than the
//     length. This is what a count worked out from a length uses.
//   - Nearest rounds to the pad nearest to the end; the strip may then be up
//     to half a pitch longer than the tube.
type Fit struct {
	Length  float64 // metres asked for
	Pitch   float64 // metres from pad to pad
	Whole   int
	Nearest int
}

// hair undoes binary fractions only, in pixels: 0.6 m at 60 a metre is 36 and
// not 35.999999999999996.
const hair = 1e-9

// FitLength counts the pixels of chip c that fit metres of tube. A bulb has no
// pitch and fits nothing.
func FitLength(metres float64, c Chip) Fit {
	f := Fit{Length: metres, Pitch: c.Pitch()}
	if f.Pitch == 0 || !(metres > 0) {
		return f
	}
	exact := metres / f.Pitch
	f.Whole = int(math.Min(exact+hair, MaxPixels+1))
	f.Nearest = int(math.Min(math.Round(exact), MaxPixels+1))
	return f
}

// Left is the metres of tube that the whole pixels leave unlit.
func (f Fit) Left() float64 { return math.Max(0, f.Length-float64(f.Whole)*f.Pitch) }

// Over is the metres by which strip of the nearest count is longer than the
// tube; negative when it is shorter.
func (f Fit) Over() float64 { return float64(f.Nearest)*f.Pitch - f.Length }

// Say puts the fit in words, in the units of the file.
func (f Fit) Say(inches bool) string {
	s := fmt.Sprintf("%d pixels fit whole, %s of tube stays unlit", f.Whole, FormatLength(f.Left(), inches))
	if f.Nearest != f.Whole {
		s += fmt.Sprintf("; %d is the nearest pad, %s past the end", f.Nearest, FormatLength(f.Over(), inches))
	}
	return s
}

// StripLength is the metres of strip that n pixels of chip c take.
func StripLength(n int, c Chip) float64 { return float64(n) * c.Pitch() }
