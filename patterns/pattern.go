// Package patterns makes frames: pure functions from a moment and a pixel
// count to the colours of all pixels.
//
// Units: pixels count from 0 in data order, in text from 1; values are 0 to
// 255 before the level is applied; speed is steps per second. No clock is
// read here. The list of all patterns, and how to add one, is in list.go;
// how fast each may run is in speed.go.
package patterns

import "time"

// A Moment is the moment of a pattern: how long it has run and which step the
// builder or the clock has reached. Patterns read Step alone; T is for
// sequences that are not patterns.
type Moment struct {
	T    time.Duration
	Step int
}

// Settings are what the builder may change while a pattern runs.
type Settings struct {
	Pixels   int       // pixels of the prop, 1 or more
	Channels []Channel // the chip's channels in wire order
	Speed    float64   // steps per second
	Colour   Colour    // colour of patterns that have one; zero means the pattern's own
	Reverse  bool      // run from the last pixel to the first
	Starts   []int     // first pixel of each run, ascending from 0; empty means one run
}

// A Pattern is one thing to light, with what a correct strip then shows.
type Pattern struct {
	ID       string // as typed after "ringout send"
	Name     string // as shown on the light screen
	About    string // what it is for, one sentence
	Stepped  bool   // moves by steps, from the builder's keys or by Speed
	Loops    bool   // starts again after the last step; otherwise it holds there
	ByPixel  bool   // every step is a pixel: a click on one goes to its step
	Counts   bool   // Number is how many are lit; otherwise it is one pixel
	OnePixel bool   // says something of a prop of one pixel too; the others tell pixels apart

	// Count is the number of steps, 1 or more; nil means 1. Use Steps.
	Count func(s Settings) int

	// Fastest is the most steps per second that keep it from flashing; nil
	// means MaxSpeed. Use SpeedLimit.
	Fastest func(s Settings) float64

	// Number is what to write large beside the drawing: the pixel, or with
	// Counts how many are lit, from 1. It is nil where no number helps.
	Number func(s Settings, at Moment) int

	// Expect says in words what a correct strip shows at this moment.
	Expect func(s Settings, at Moment) string

	// Frame appends the s.Pixels colours of this moment to dst[:0].
	Frame func(dst Frame, s Settings, at Moment) Frame
}

// Steps is the number of different steps p has, 1 or more.
func Steps(p Pattern, s Settings) int {
	if p.Count == nil {
		return 1
	}
	return max(1, p.Count(s))
}

// StepAt maps any step to 0..Steps-1: a pattern that loops starts again, the
// others hold at their first and last step.
func StepAt(p Pattern, s Settings, step int) int {
	n := Steps(p, s)
	if !p.Loops {
		return min(max(step, 0), n-1)
	}
	return ((step % n) + n) % n
}

// colourOr is the colour chosen, or own where none was.
func (s Settings) colourOr(own Colour) Colour {
	if s.Colour.Dark() {
		return own
	}
	return s.Colour
}

// pixel is the index in data order of the i-th pixel in the pattern's
// direction.
func (s Settings) pixel(i int) int {
	if s.Reverse {
		return s.Pixels - 1 - i
	}
	return i
}

// dark appends n dark pixels to dst[:0], in place where it has room.
func dark(dst Frame, n int) Frame {
	n = max(n, 0)
	if cap(dst) < n {
		return make(Frame, n)
	}
	dst = dst[:n]
	clear(dst)
	return dst
}

// A FrameFunc is a pattern of the caller's own: it appends the colours of that
// many pixels at t after the start to dst[:0]. It must be pure.
type FrameFunc func(dst Frame, pixels int, t time.Duration) Frame
