// Package patterns makes frames: pure functions from a moment and a pixel
// count to the colours of all pixels.
//
// Units: pixels count from 0 in data order; values are 0 to 255 before the
// level is applied; speed is steps per second. No clock is read here.
package patterns

import "time"

// A Moment is where a pattern stands: how long it has run and which step the
// builder or the clock has reached. Stepped patterns read Step, the others T.
type Moment struct {
	T    time.Duration
	Step int
}

// Settings are what the builder may turn while a pattern runs.
type Settings struct {
	Pixels   int       // pixels of the prop, 1 or more
	Channels []Channel // the chip's channels in wire order
	Speed    float64   // steps per second
	Colour   Colour    // colour of patterns that have one
	Reverse  bool      // run from the last pixel to the first
}

// A Pattern is one thing to light, with what a correct strip then shows.
type Pattern struct {
	ID      string // as typed after "ringout send"
	Name    string // as shown on the light screen
	About   string // what it is for, one sentence
	Stepped bool   // moves by steps, from the builder's keys or by Speed

	// Expect says in words what a correct strip shows at this moment.
	Expect func(s Settings, at Moment) string

	// Frame appends the s.Pixels colours of this moment to dst[:0].
	Frame func(dst Frame, s Settings, at Moment) Frame
}
