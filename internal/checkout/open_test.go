package checkout

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// What is open adds up to everything, before and after answers.
func TestOpenAddsUp(t *testing.T) {
	for _, p := range prop.Demos() {
		s, err := New(p, Options{})
		require.NoError(t, err)
		for step := 0; ; step++ {
			o := s.Open()
			sum := o.Sound + o.Whole + o.Unknown
			for _, x := range o.Pixels {
				sum += x
			}
			for _, x := range o.Run {
				sum += x
			}
			assert.GreaterOrEqual(t, sum, 0.999, "%s", p.Name)
			assert.LessOrEqual(t, sum, 2.0, "%s", p.Name) // swapped runs count in both
			probe, more := s.Next()
			if !more {
				assert.Zero(t, o.Left)
				break
			}
			assert.Positive(t, o.Left)
			if step == 8 {
				break // answers without sense make the search for pairs long
			}
			require.NoError(t, s.Answer(1+step%len(probe.Answers)))
		}
	}
}

func TestAskedTellsWhatWasSaid(t *testing.T) {
	s, err := New(prop.Porthole(), Options{})
	require.NoError(t, err)
	first, _ := s.Next()
	require.NoError(t, s.Answer(2))
	require.NoError(t, s.Answer(NotSure))
	asked := s.Asked()
	require.Len(t, asked, 2)
	assert.Equal(t, AnsweredQuestion{ID: 1, Kind: first.Spec.Kind, Question: first.Question, Answers: first.Answers, Given: 2}, asked[0])
	assert.Equal(t, first.Answers[1].Text, asked[0].Text())
	assert.Equal(t, "not sure", asked[1].Text())
}

// A bulb may have any order of its letters.
func TestABulbMayHaveAnyOrder(t *testing.T) {
	n := 0
	for _, f := range families(prop.BuoyLamp(), nil) {
		if f.facts.Kind == strip.WrongOrder {
			n += len(f.faults)
		}
	}
	assert.Equal(t, 23, n, "4! orders, less the planned one")
}

// Places that an answer has ruled out no longer fit; all fit before the first.
func TestFitsNarrows(t *testing.T) {
	p := prop.Porthole()
	s, err := New(p, Options{})
	require.NoError(t, err)
	for _, fits := range s.Open().Fits {
		assert.True(t, fits)
	}
	probe, _ := s.Next()
	require.Equal(t, AskEven, probe.Spec.Kind)
	tail := 0
	for _, a := range probe.Answers {
		if a.Sees == SeesTail {
			tail = a.Key
		}
	}
	require.NoError(t, s.Answer(tail))
	probe, _ = s.Next()
	require.Equal(t, AskLastLit, probe.Spec.Kind)
	f := probe.Show(nil, p.Pixels(), 0)
	last := Token(NameOf(f[100])) // the colour of the last lit pixel
	i := slices.IndexFunc(probe.Answers, func(a Answer) bool { return a.Sees == last })
	require.GreaterOrEqual(t, i, 0, "every colour of the picture is offered")
	require.NoError(t, s.Answer(i+1))
	for k, fits := range s.Open().Fits {
		if _, at := p.Find(k); at == 0 {
			continue // a joint may have another fault, such as strip of another kind behind it
		}
		if fits {
			assert.Equal(t, Token(NameOf(f[k-1])), last, "data ends before pixel %d", k+1)
		} else {
			assert.NotEqual(t, Token(NameOf(f[k-1])), last, "data ends before pixel %d", k+1)
		}
	}
}
