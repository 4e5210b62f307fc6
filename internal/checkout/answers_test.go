package checkout

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// Whoever sees a colour of the picture can say so, in every question that asks
// for one, and by the same letter.
func TestEveryColourOfThePictureCanBeAnswered(t *testing.T) {
	letters := map[string]string{}
	for _, p := range prop.Demos() {
		n := p.Pixels()
		for _, ft := range []strip.Fault{{Kind: strip.OpenJoint, Pixel: n / 2}, {Kind: strip.DeadPixel, Pixel: n / 3},
			{Kind: strip.WrongOrder, Order: "BGR"}, {Kind: strip.DeadChannel, Pixel: n / 4}, {Kind: strip.Flicker, Pixel: n / 2}} {
			st, err := strip.New(p, ft)
			if err != nil {
				continue // that prop cannot have it
			}
			s, err := New(p, Options{})
			require.NoError(t, err)
			var b builder
			for pr, more := s.Next(); more; pr, more = s.Next() {
				seen := map[string]bool{}
				for _, a := range pr.Answers {
					assert.False(t, seen[a.Press], "%q stands before two answers", a.Press)
					seen[a.Press] = true
					if a.Sees.Colour() {
						letters[a.Press] = a.Text
						assert.Equal(t, a.Text[:1], a.Press)
					}
				}
				for _, part := range pr.Spec.Paint {
					if questions[pr.Spec.Kind].colours && part.Colour.name() != Dark {
						assert.True(t, slices.ContainsFunc(pr.Answers, func(a Answer) bool { return a.Sees == Token(part.Colour.name()) }), "%s in %s", part.Colour, pr.Spec.Kind)
					}
				}
				require.NoError(t, s.Answer(key(s.field, &pr, st, &b)))
			}
		}
	}
	assert.GreaterOrEqual(t, len(letters), 7)
}

func TestPressed(t *testing.T) {
	colours := []Answer{{1, "r", "red", Token(Red)}, {2, "b", "blue", Token(Blue)}, {3, "1", "none", SeesNone}, {4, "2", "something else", SeesElse}}
	runs := []Answer{{1, "1", "inner ring", seesRun}, {2, "2", "something else", SeesElse}}
	for _, row := range []struct {
		answers []Answer
		text    string
		key     int
		ok      bool
	}{
		{colours, "r", 1, true}, {colours, "blue", 2, true}, {colours, "1", 3, true}, {colours, "2", 4, true},
		{colours, "0", NotSure, true}, {colours, "g", 4, true}, {colours, "green", 4, true}, // seen, but not offered
		{colours, "3", 0, false}, {colours, "x", 0, false}, {colours, "", 0, false}, {colours, "B", 0, false},
		{runs, "1", 1, true}, {runs, "b", 0, false}, {runs, "blue", 0, false},
		{colours[:3], "g", 0, false}, // there is no "something else"
	} {
		key, ok := Pressed(row.answers, row.text)
		assert.Equal(t, row.ok, ok, row.text)
		assert.Equal(t, row.key, key, row.text)
	}
}
