package checkout

import (
	"encoding/json"
	"fmt"
)

// A Spec is all that makes a probe: what is sent and what is asked about the
// light. It is plain data, so a log of them can be kept and resumed.
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

// key distinguishes probes: the same key means the same light and question.
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
	n, err := s.Paint.check("painted")
	switch q := questions[s.Kind]; {
	case err != nil:
		return err
	case n != pixels:
		return fmt.Errorf("a picture of %d pixels does not fit a prop of %d", n, pixels)
	case s.Run < 0 || s.Run >= runs:
		return fmt.Errorf("there is no run %d: the prop has %d", s.Run+1, runs)
	case s.Level <= 0 || s.Level > 1:
		return fmt.Errorf("level %v: give more than 0, at most 1", s.Level)
	case q == nil:
		return fmt.Errorf("there is no question of the kind %q", s.Kind)
	case q.repaints && len(s.Expected) != runs, !q.repaints && s.Expected != nil:
		return fmt.Errorf("a question of the kind %q needs a picture of every run to compare with, and no other does", s.Kind)
	}
	for _, run := range s.Expected {
		if _, err := run.check("compared with"); err != nil {
			return err
		}
	}
	return nil
}

// check counts the pixels of a picture, and refuses what cannot be in one.
func (p Paint) check(done string) (pixels int, err error) {
	for _, st := range p {
		if !st.Colour.known() || st.Pixels < 1 {
			return 0, fmt.Errorf("%d pixels of %q cannot be %s", st.Pixels, st.Colour, done)
		}
		pixels += st.Pixels
	}
	return pixels, nil
}

// first is the probe as it was asked the first time.
func (s Spec) first() Spec {
	s.Again = false
	return s
}
