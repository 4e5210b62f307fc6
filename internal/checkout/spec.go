package checkout

import (
	"encoding/json"
	"fmt"
)

// A Spec defines a probe: the picture sent and the question. It is plain data,
// so that a log can hold it.
type Spec struct {
	Kind  Kind    `json:"kind"`
	Paint Paint   `json:"paint"`
	Level float64 `json:"level"`
	Base  Hue     `json:"base,omitempty"`  // even: the colour sent; last-mark: the colour between marks
	Run   int     `json:"run,omitempty"`   // place: the run, from 0
	Pixel int     `json:"pixel,omitempty"` // place: from 0 in the run, -1 for its last one

	Expected []Paint `json:"expected,omitempty"` // confirm: the light of the likeliest hypothesis, by run
	Again    bool    `json:"again,omitempty"`    // asked once more, since the first answer did not fit

	family string // the family of which it splits the places, for Probe.Why
}

// key identifies a probe: the same key means the same picture and question.
func (s *Spec) key() string {
	b, err := json.Marshal(s)
	if err != nil {
		return fmt.Sprint(*s) // cannot happen: plain data
	}
	return string(b)
}

// check refuses a probe that does not fit a prop of so many pixels and runs, as
// from a damaged log or one of another prop.
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

// check counts the pixels of a picture, and refuses unknown colours and empty
// stretches. done is the participle for the error.
func (p Paint) check(done string) (pixels int, err error) {
	for _, st := range p {
		if !st.Colour.known() || st.Pixels < 1 {
			return 0, fmt.Errorf("%d pixels of %q cannot be %s", st.Pixels, st.Colour, done)
		}
		pixels += st.Pixels
	}
	return pixels, nil
}

// first is the probe without Again, as it was asked the first time.
func (s Spec) first() Spec {
	s.Again = false
	return s
}
