package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A probe of a log is refused where it does not fit the prop: the pixels of its
// picture, the run it asks for, its level, its kind, and what it is compared with.
func TestProbesThatDoNotFit(t *testing.T) {
	picture := Paint{{HueRed, 7}, {HueBlue, 5}}
	asks := func(change func(*Spec)) *Spec {
		s := &Spec{Kind: AskPlace, Run: 1, Level: 0.2, Paint: picture}
		change(s)
		return s
	}
	compared := []Paint{{{HueRed, 7}}, {{HueBlue, 5}}}
	for _, row := range []struct {
		name string
		spec *Spec
		says string // in the refusal; empty for none
	}{
		{"as planned", asks(func(*Spec) {}), ""},
		{"one pixel more", asks(func(s *Spec) { s.Paint = Paint{{HueRed, 13}} }), "13 pixels does not fit a prop of 12"},
		{"one pixel fewer", asks(func(s *Spec) { s.Paint = Paint{{HueRed, 11}} }), "11 pixels does not fit a prop of 12"},
		{"no pixels of a colour", asks(func(s *Spec) { s.Paint = Paint{{HueRed, 12}, {HueBlue, 0}} }), "cannot be painted"},
		{"the first run", asks(func(s *Spec) { s.Run = 0 }), ""},
		{"a run before the first", asks(func(s *Spec) { s.Run = -1 }), "there is no run 0: the prop has 2"},
		{"a run past the last", asks(func(s *Spec) { s.Run = 2 }), "there is no run 3: the prop has 2"},
		{"full level", asks(func(s *Spec) { s.Level = 1 }), ""},
		{"above full level", asks(func(s *Spec) { s.Level = 1.01 }), "level 1.01"},
		{"no level", asks(func(s *Spec) { s.Level = 0 }), "level 0"},
		{"an unknown kind", asks(func(s *Spec) { s.Kind = "smell" }), `no question of the kind "smell"`},
		{"a place with a picture to compare", asks(func(s *Spec) { s.Expected = compared }), "needs a picture of every run"},
		{"a confirming look", asks(func(s *Spec) { s.Kind, s.Expected = AskConfirm, compared }), ""},
		{"a confirming look without a picture", asks(func(s *Spec) { s.Kind = AskConfirm }), "needs a picture of every run"},
		{"one run not to compare with", asks(func(s *Spec) { s.Kind, s.Expected = AskConfirm, compared[:1] }), "needs a picture of every run"},
		{"an empty stretch to compare with", asks(func(s *Spec) { s.Kind, s.Expected = AskConfirm, []Paint{{{HueRed, 0}}, {{HueBlue, 5}}} }), "cannot be compared with"},
	} {
		err := row.spec.check(12, 2)
		if row.says == "" {
			assert.NoError(t, err, row.name)
		} else {
			assert.ErrorContains(t, err, row.says, row.name)
		}
	}
}
