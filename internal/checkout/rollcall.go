package checkout

import (
	"fmt"
	"slices"
	"time"

	"example.org/ringout/patterns"
)

// A Palette is a set of colours that a person can tell apart.
type Palette uint8

// The palettes.
const (
	SixColours   Palette = iota // red, green, blue, yellow, magenta, cyan
	ThreeColours                // red, green, blue
	LitOrDark                   // white or dark, for people who don't tell colours apart
)

// palettes are the hues of each palette. Both colour palettes are closed under
// permutations of red, green and blue, so a strip of any colour order shows the
// same set, with other names.
var palettes = [...][]Hue{
	SixColours:   {HueRed, HueGreen, HueBlue, HueYellow, HueMagenta, HueCyan},
	ThreeColours: {HueRed, HueGreen, HueBlue},
	LitOrDark:    {HueDark, HueWhite},
}

// A RollCall shows on every pixel its own number, one digit a look, as colours.
// The colours of the last lit pixel give the number of pixels. With LitOrDark
// the first look lights all pixels, so that the builder can put a finger on the
// last one and watch it alone.
type RollCall struct {
	most   int
	hues   []Hue // the digits, from 0
	digits int   // number of looks with a digit
	check  bool  // one more look: the sum of the digits, modulo the number of hues
	mark   bool  // one look before them with all pixels lit
}

// NewRollCall prepares a roll call of 1 to 100,000 pixels. With check there is
// one more look, which shows any single misreading and replaces any single
// missing look.
func NewRollCall(most int, p Palette, check bool) (*RollCall, error) {
	if most < 1 || most > 100_000 {
		return nil, fmt.Errorf("roll call of %d pixels: give 1 to 100000", most)
	}
	if int(p) >= len(palettes) {
		return nil, fmt.Errorf("there is no palette %d: give 0 (six colours), 1 (three) or 2 (lit or dark)", p)
	}
	r := &RollCall{most: most, hues: palettes[p], check: check, mark: p == LitOrDark, digits: 1}
	for reach := len(r.hues); reach < most; reach *= len(r.hues) {
		r.digits++
	}
	if p != LitOrDark {
		r.digits = max(r.digits, 3) // the first pixel shows red, green and blue in turn
	}
	return r, nil
}

// Looks is the number of pictures shown one after another.
func (r *RollCall) Looks() int {
	n := r.digits
	if r.check {
		n++
	}
	if r.mark {
		n++
	}
	return n
}

// OrderLooks is the number of looks that show all pixels in one colour, red and then green: what the
// last lit pixel makes of them is its colour order. Without them a wrong order gives a wrong count.
const OrderLooks = 2

// AllLooks is Looks and, where the digits are colours, OrderLooks.
func (r *RollCall) AllLooks() int {
	if r.mark {
		return r.Looks()
	}
	return r.Looks() + OrderLooks
}

// ReadOrder returns what the strip shows for red, green and blue, from what it showed for the first
// two; a *MisreadError when that is no order of colours.
func (r *RollCall) ReadOrder(red, green Hue) ([]Hue, error) {
	first := []Hue{red, green, (White &^ (red.name() | green.name())).hue()}
	_, err := r.renamed(first)
	return first, err
}

// Hues are the answers to each look, in the order of the digit keys from 1.
func (r *RollCall) Hues() []Hue { return slices.Clone(r.hues) }

// code is the digits that a pixel shows in each look, as indexes of hues. start
// is added to the number so that pixel 0 shows red, green, blue in its first
// looks, which gives the colour order.
func (r *RollCall) code(pixel int) []int {
	q, reach := len(r.hues), 1
	for range r.digits {
		reach *= q
	}
	v, sum := (pixel+r.start())%reach, 0
	out := make([]int, r.digits, r.digits+1)
	for i := range out {
		reach /= q
		out[i] = v / reach % q
		sum += out[i]
	}
	if r.check {
		out = append(out, sum%q)
	}
	return out
}

// start is the number with the digits red, green, blue, red, red...
func (r *RollCall) start() int {
	if r.mark {
		return 0
	}
	q, v := len(r.hues), 0
	for i := range r.digits {
		v *= q
		if i < 3 {
			v += i
		}
	}
	return v
}

// Show is the picture of a look, counted from 0, as a pattern that does not
// change with time.
func (r *RollCall) Show(look int) patterns.FrameFunc {
	return func(dst patterns.Frame, pixels int, _ time.Duration) patterns.Frame {
		dst = dst[:0]
		for i := range pixels {
			dst = append(dst, r.hueAt(i, look).Colour())
		}
		return dst
	}
}

// hueAt is what a pixel shows in a look; dark beyond the most.
func (r *RollCall) hueAt(pixel, look int) Hue {
	if r.mark {
		look--
	}
	switch {
	case pixel >= r.most || look >= r.digits+1:
		return HueDark
	case look < 0:
		return HueWhite
	}
	return r.hues[r.code(pixel)[look]]
}

// Question is the question of a look, counted from 0.
func (r *RollCall) Question(look int) string {
	switch {
	case r.mark && look == 0:
		return "Put a finger on the last pixel that is lit."
	case r.mark:
		return "Is the pixel at your finger lit?"
	}
	return "Which colour is the last pixel that is lit?"
}

// A MisreadError reports colours that no pixel shows.
type MisreadError struct{ Why string }

func (e *MisreadError) Error() string {
	return e.Why + ": go through the looks once more"
}

// Count returns the pixel counts that fit the hues read at the last lit pixel,
// one a look (without the first look of LitOrDark); an empty hue is "not sure".
// first are what the strip shows for red, green and blue, as ReadOrder has them or its first pixel
// in the first three looks, needed where the colour order is not known; nil means the planned order. It
// returns one count for a full reading, several when looks are missing, and a
// *MisreadError when nothing fits.
func (r *RollCall) Count(last, first []Hue) ([]int, error) {
	want := r.digits
	if r.check {
		want++
	}
	if len(last) != want {
		return nil, &MisreadError{fmt.Sprintf("%d colours were given for %d looks", len(last), want)}
	}
	names, err := r.renamed(first)
	if err != nil {
		return nil, err
	}
	read := make([]int, len(last))
	for i, h := range last {
		if read[i] = -1; h != "" {
			if read[i] = slices.Index(names, h); read[i] < 0 {
				return nil, &MisreadError{fmt.Sprintf("%s is not among the colours shown", h)}
			}
		}
	}
	var fit []int
	for pixel := range r.most {
		if agrees(r.code(pixel), read) {
			fit = append(fit, pixel+1)
		}
	}
	if len(fit) == 0 {
		return nil, &MisreadError{fmt.Sprintf("no pixel of %d shows these colours", r.most)}
	}
	return fit, nil
}

// agrees reports whether a code has the digits read; -1 in read fits any digit.
func agrees(code, read []int) bool {
	for i, d := range read {
		if d >= 0 && d != code[i] {
			return false
		}
	}
	return true
}

// renamed are the hues as the strip shows them, from the hues that its first
// pixel showed for red, green and blue.
func (r *RollCall) renamed(first []Hue) ([]Hue, error) {
	if first == nil || r.mark {
		return r.hues, nil
	}
	var as [3]Name
	seen := Dark
	for i := range as {
		if i >= len(first) {
			return nil, &MisreadError{"the first pixel's colours in the first three looks are needed"}
		}
		as[i] = first[i].name()
		if as[i] != Red && as[i] != Green && as[i] != Blue || seen&as[i] != 0 {
			return nil, &MisreadError{"red, green and blue must each show once"}
		}
		seen |= as[i]
	}
	out := make([]Hue, len(r.hues))
	for i, h := range r.hues {
		n := Dark
		for k, base := range []Name{Red, Green, Blue} {
			if h.name()&base != 0 {
				n |= as[k]
			}
		}
		out[i] = n.hue()
	}
	return out, nil
}

// Seconds for one look of a roll call, and for counting one pixel (common
// practice).
const lookSeconds, countSeconds = 7.0, 0.5

// QuickerThanCounting reports whether the roll call is quicker than counting pixels up.
func (r *RollCall) QuickerThanCounting(pixels int) bool {
	return lookSeconds*float64(r.AllLooks()) < countSeconds*float64(pixels)
}
