package checkout

import (
	"example.org/ringout/internal/testkit/checkouttest"
)

// A builder stands before a prop and answers, with eyes that see only the
// light and share no code with the readings of this package.
type builder struct{ checkouttest.Eyes }

// answer gives the key of the answer the builder would choose, 0 for not sure.
func (b *builder) answer(s *Spec, sizes []int, answers []Answer) int {
	q := checkouttest.Question{Kind: string(s.Kind), Base: string(s.Base), Run: s.Run, Pixel: s.Pixel}
	for _, st := range s.Paint {
		q.Paint = append(q.Paint, checkouttest.Stretch{Colour: string(st.Colour), Pixels: st.Pixels})
	}
	for _, run := range s.Expected {
		var row []checkouttest.Stretch
		for _, st := range run {
			row = append(row, checkouttest.Stretch{Colour: string(st.Colour), Pixels: st.Pixels})
		}
		q.Expected = append(q.Expected, row)
	}
	if b.See(q, sizes) == "" {
		panic("the eyes have not learnt the question " + q.Kind)
	}
	var words []string
	for _, a := range answers { // on keys 1 and up, in order
		words = append(words, a.Sees.String())
	}
	return b.Choose(q, sizes, words)
}
