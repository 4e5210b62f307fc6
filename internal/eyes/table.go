package eyes

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/sorting"
)

// MaxPixels is the number of words of the largest code, 3⁷.
const MaxPixels = 2187

// Distance is the least number of code looks in which two words differ, so that two
// misread looks can be corrected (distance 5).
const Distance = 5

// A Word is the slot of the pixel, from 0, that lights in each code look.
type Word []uint8

// A cyclicCode is a linear code over the field of three elements whose words
// are the multiples of a polynomial.
type cyclicCode struct {
	length, digits int
	generator      []uint8 // coefficients, lowest power first; of degree length-digits
}

// The two codes. The first is the ternary Golay code [11,6,5] (M. Golay,
// Notes on digital coding, 1949), the second the ternary quadratic residue
// code [13,7,5] (MacWilliams and Sloane, The Theory of Error-Correcting Codes,
// chapter 16). The distances are counted word by word in the tests.
var codes = []cyclicCode{
	{11, 6, []uint8{2, 0, 1, 2, 1, 1}},
	{13, 7, []uint8{1, 1, 2, 0, 2, 1, 1}},
}

// Table is the words of a prop's pixels in data order, all of one length. Any two
// differ in Distance looks or more, and neighbours in many. No word has nearly the
// same slot in all looks, so that a pixel with a lost colour can still be read. It
// refuses numbers outside 1 to MaxPixels.
func Table(pixels int) ([]Word, error) {
	if pixels < 1 || pixels > MaxPixels {
		return nil, fmt.Errorf("%d pixels: the camera's code has words for 1 to %d; check the prop in parts", pixels, MaxPixels)
	}
	code, digits := codeFor(pixels)
	words := code.walk(digits, pixels)
	offset := mixing(words, code.length-code.digits)
	for i, w := range words {
		words[i] = sum(w, offset)
	}
	return words, nil
}

// codeFor is the smallest code with enough words, and the number of its message
// digits that are needed; each digit less makes a word one look shorter.
func codeFor(pixels int) (cyclicCode, int) {
	for _, c := range codes {
		n := 1
		for digits := 1; digits <= c.digits; digits++ {
			if n *= 3; n >= pixels {
				return c, digits
			}
		}
	}
	panic("more pixels than words")
}

// walk is the first words of the code in an order in which each differs from the one
// before by one of a few heavy words: a Gray code to base three, in which one digit
// at a time rises by one.
func (c cyclicCode) walk(digits, pixels int) []Word {
	steps := c.heavyBasis(digits)
	at := make(Word, c.length-c.digits+digits)
	words := []Word{at}
	for i := 1; i < pixels; i++ {
		d := 0
		for n := i; n%3 == 0; n /= 3 {
			d++
		}
		at = sum(at, steps[d])
		words = append(words, at)
	}
	return words
}

// heavyBasis is one independent word for each digit, those of the largest weight
// first.
func (c cyclicCode) heavyBasis(digits int) []Word {
	all := c.all(digits)
	sorting.Stable(all, func(a, b Word) int { return weight(b) - weight(a) })
	var span basis
	var out []Word
	for _, w := range all {
		if span.add(w) {
			out = append(out, w)
		}
		if len(out) == digits {
			break
		}
	}
	return out
}

// all is every word whose higher message digits are zero, without the positions of
// those digits (a shortened code).
func (c cyclicCode) all(digits int) []Word {
	length := c.length - c.digits + digits
	out := []Word{make(Word, length)}
	for d := range digits {
		step := make(Word, length)
		copy(step[d:], c.generator)
		for range 2 {
			for _, w := range out[len(out)-pow3(d):] {
				out = append(out, sum(w, step))
			}
		}
	}
	return out
}

// mixing is the offset, added to all words, with the smallest ofOneColour. Only
// offsets in the first free positions are tried: any other is the sum of one of
// these and a word of the code.
func mixing(words []Word, free int) (best Word) {
	most := len(words[0]) + 1
	for n := range pow3(free) {
		offset := make(Word, len(words[0]))
		for i, m := 0, n; i < free; i, m = i+1, m/3 {
			offset[i] = uint8(m % 3)
		}
		if k := ofOneColour(words, offset, most); k < most {
			best, most = offset, k
		}
	}
	return best
}

// ofOneColour is the largest number of looks in which a word has the same slot, with
// the offset added; the count stops at bound.
func ofOneColour(words []Word, offset Word, bound int) (most int) {
	for _, w := range words {
		var count [3]int
		for i, d := range w {
			count[(d+offset[i])%3]++
		}
		if most = max(most, count[0], count[1], count[2]); most >= bound {
			return most
		}
	}
	return most
}

// Differ is the number of looks in which two words differ.
func Differ(a, b Word) int {
	n := 0
	for i := range a {
		if a[i] != b[i] {
			n++
		}
	}
	return n
}

func weight(w Word) int { return Differ(w, make(Word, len(w))) }

// sum adds two words, digit by digit modulo three.
func sum(a, b Word) Word {
	out := make(Word, len(a))
	for i := range a {
		out[i] = (a[i] + b[i]) % 3
	}
	return out
}

func pow3(n int) int {
	p := 1
	for range n {
		p *= 3
	}
	return p
}

// A basis is a list of linearly independent words.
type basis []Word

// add appends a word and reports true, unless it is a sum of words of the basis.
func (b *basis) add(w Word) bool {
	for _, v := range *b {
		lead := firstSet(v)
		for w[lead] != 0 {
			w = sum(w, v)
		}
	}
	if firstSet(w) < 0 {
		return false
	}
	*b = append(*b, w)
	return true
}

func firstSet(w Word) int {
	return slices.IndexFunc(w, func(d uint8) bool { return d != 0 })
}
