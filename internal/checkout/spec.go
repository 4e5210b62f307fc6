package checkout

import (
	"encoding/json"
	"fmt"
)

// A Spec is all that makes a probe: what is sent and what is asked about the
// light. It is plain data, so a log of them can be kept and taken up again.
type Spec struct {
	Kind  Kind    `json:"kind"`
	Paint Paint   `json:"paint"`
	Level float64 `json:"level"`
	Base  Hue     `json:"base,omitempty"`  // even: the colour sent; last-mark: the colour between marks
	Run   int     `json:"run,omitempty"`   // place: from 0
	Pixel int     `json:"pixel,omitempty"` // place: from 0 in the run, -1 for its last one

	Expected []Paint `json:"expected,omitempty"` // confirm: what is seen, run by run, if the explanation that is thought of holds
	Again    bool    `json:"again,omitempty"`    // asked once more, since the answer did not fit

	family string // whose places it splits, for Why
}

// key tells probes apart: the same key means the same light and question.
func (s *Spec) key() string {
	b, err := json.Marshal(s)
	if err != nil {
		return fmt.Sprint(*s) // cannot happen: plain data
	}
	return string(b)
}

// check refuses a probe that does not fit a prop, as a log written for another
// prop would hold.
func (s *Spec) check(pixels, runs int) error {
	n := 0
	for _, st := range s.Paint {
		if !st.Colour.known() || st.Pixels < 1 {
			return fmt.Errorf("%d pixels of %q cannot be painted", st.Pixels, st.Colour)
		}
		n += st.Pixels
	}
	switch {
	case n != pixels:
		return fmt.Errorf("a picture of %d pixels does not fit a prop of %d", n, pixels)
	case s.Run < 0 || s.Run >= runs:
		return fmt.Errorf("there is no run %d: the prop has %d", s.Run+1, runs)
	case s.Level <= 0 || s.Level > 1:
		return fmt.Errorf("level %v: give more than 0, at most 1", s.Level)
	}
	q := questions[s.Kind]
	switch {
	case q == nil:
		return fmt.Errorf("there is no question of the kind %q", s.Kind)
	case q.repaints != (s.Expected != nil) || q.repaints && len(s.Expected) != runs:
		return fmt.Errorf("a question of the kind %q needs a picture of every run to compare with, and no other does", s.Kind)
	}
	for _, run := range s.Expected {
		for _, st := range run {
			if !st.Colour.known() || st.Pixels < 1 {
				return fmt.Errorf("%d pixels of %q cannot be compared with", st.Pixels, st.Colour)
			}
		}
	}
	return nil
}

// first is the probe as it was asked the first time.
func (s Spec) first() Spec {
	s.Again = false
	return s
}
