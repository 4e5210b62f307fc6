package checkout

import (
	"example.org/ringout/internal/show"
)

// A Probe is one thing shown together with the question asked about it.
type Probe struct {
	ID       int            // counts from 1 in the order asked
	Show     show.FrameFunc // what to send
	Level    float64        // 0 to 1, before the limiter
	Spec     Spec           // the same in plain data: what is sent, what is asked
	Picture  []Paint        // what a sound prop shows, run by run, to draw beside the question
	Question string
	Hint     string      // where and how to look
	Answers  []Answer    // on keys 1 to 6; key 0 is always "not sure"
	Look     []show.Span // pixels of the plan to mark on the drawing
	Seconds  float64     // of the builder's time
	Why      string      // what the answer is expected to settle
}

// An Answer is one thing the builder may say.
type Answer struct {
	Key  int // the digit key; NotSure is 0
	Text string
	Sees Token // for machines
}

// NotSure is the key for "I can't tell". It moves nothing, and the question is
// not asked again in the same form.
const NotSure = 0
