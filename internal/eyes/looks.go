package eyes

import (
	"fmt"
	"time"

	"example.org/ringout/patterns"
)

// Times of the sequence. A hold of 0.7 s or more keeps changes of colour under
// three flashes a second (WCAG 2.3.1) and gives a camera several still frames.
const (
	Hold     = 800 * time.Millisecond
	MinHold  = 700 * time.Millisecond
	EdgeHold = 2 * Hold // black before the first lit look and after the last, which marks the ends in a film
)

// A LookKind is a kind of look.
type LookKind uint8

// The kinds of look.
const (
	Black LookKind = iota
	Full           // every slot at a third of the level
	All            // slot Index of every pixel
	Code           // of each pixel the slot that its word has at Index
)

// A Look is one still picture of the sequence.
type Look struct {
	Kind  LookKind
	Index int    // slot of an All look, place in the word of a Code look; from 0
	File  string // its picture in a kept folder
	Clip  string // its frames in a kept folder, see Clip.Image; "" for none
}

// Name is the look's name in a scene file: black, full, all0, code3.
func (l Look) Name() string {
	switch l.Kind {
	case Black:
		return "black"
	case Full:
		return "full"
	case All:
		return fmt.Sprintf("all%d", l.Index)
	}
	return fmt.Sprintf("code%d", l.Index)
}

// Looks is the sequence for pixels of so many slots and words of a length: black,
// one look a slot, then the code looks.
func Looks(slots, length int) []Look {
	looks := []Look{{Kind: Black}}
	for c := range slots {
		looks = append(looks, Look{Kind: All, Index: c})
	}
	for k := range length {
		looks = append(looks, Look{Kind: Code, Index: k})
	}
	for i := range looks {
		looks[i].File = fmt.Sprintf("%02d-%s.png", i, looks[i].Name())
	}
	return looks
}

// Lit reports whether a slot of the data is lit in a look. Slots count from
// 0 over all pixels; those past the last pixel are never lit.
func (s *Scene) Lit(l Look, slot int) bool {
	i, c := slot/s.Slots, slot%s.Slots
	if slot < 0 || i >= len(s.Words) {
		return false
	}
	switch l.Kind {
	case Full:
		return true
	case All:
		return c == l.Index
	case Code:
		return int(s.Words[i][l.Index]) == c
	}
	return false
}

// Frame appends the colours of a look to dst[:0], one a word, at full level.
// channels are the chip's in wire order.
func (s *Scene) Frame(dst patterns.Frame, l Look, channels []patterns.Channel) patterns.Frame {
	value := uint8(255)
	if l.Kind == Full {
		value /= 3
	}
	dst = dst[:0]
	for i := range s.Words {
		var c patterns.Colour
		for k, ch := range channels {
			if s.Lit(l, i*s.Slots+k) {
				c = c.With(ch, value)
			}
		}
		dst = append(dst, c)
	}
	return dst
}

// A Step is a look and its duration.
type Step struct {
	Look Look
	Hold time.Duration
}

// Steps are the looks in the order shown. The black look comes first and again at
// the end, both for EdgeHold.
func (s *Scene) Steps() []Step {
	steps := []Step{{s.Looks[0], EdgeHold}}
	for _, l := range s.Looks[1:] {
		steps = append(steps, Step{l, Hold})
	}
	return append(steps, steps[0])
}

// Duration is the duration of the sequence with the black at both ends.
func (s *Scene) Duration() time.Duration {
	return 2*EdgeHold + time.Duration(len(s.Looks)-1)*Hold
}
