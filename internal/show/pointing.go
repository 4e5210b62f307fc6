package show

import (
	"time"

	"example.org/ringout/patterns"
)

// A PlaceLight is a steady light that shows a place on the prop itself: the last
// sound pixel is green, the first bad one red, the rest of its run dim. It is
// drawn as any frame, so the limiter and the flash guard apply to it.
//
// Pixels count from 0; -1 lights none. Red and green follow the colour order of the
// plan: for a prop built with another order, the caller sets Green and Red.
type PlaceLight struct {
	Sound, Bad int
	Run        Span            // dim; none if Last is below First
	Dim        uint8           // value of R, G and B in Run; 0 means dimShare
	Green, Red patterns.Colour // zero means full green and full red in the plan's colour order
}

// dimShare is the default of Dim: a tenth of the red and green light, and bright enough
// to see the run.
const dimShare = 26

// Frames is the light of the pointing, for a Want. Change the Want's Serial with
// it.
func (p PlaceLight) Frames() FrameFunc {
	if p.Dim == 0 {
		p.Dim = dimShare
	}
	if p.Green.Dark() {
		p.Green = patterns.Colour{G: 255}
	}
	if p.Red.Dark() {
		p.Red = patterns.Colour{R: 255}
	}
	return func(dst patterns.Frame, pixels int, _ time.Duration) patterns.Frame {
		dst = dst[:0]
		for i := range pixels {
			dst = append(dst, p.at(i))
		}
		return dst
	}
}

func (p PlaceLight) at(i int) patterns.Colour {
	switch {
	case i == p.Bad:
		return p.Red
	case i == p.Sound:
		return p.Green
	case i >= p.Run.First && i <= p.Run.Last:
		return patterns.Colour{R: p.Dim, G: p.Dim, B: p.Dim}
	}
	return patterns.Colour{}
}
