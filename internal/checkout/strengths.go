package checkout

import (
	"math"
	"slices"

	"example.org/ringout/internal/strip"
)

// strengths are the least and the most a fall of voltage may be, in milliohms a
// metre; 0 for what has none.
type strengths struct{ low, high int }

// strongPart is the part of the likelihood of the strength that fits best that
// another must have to be named with it.
const strongPart = 0.1

// strengths are those that fit the answers about as well as the best of the
// group of a hypothesis. How often a strength is met does not count here: a
// rare one is named as well.
func (b *belief) strengths(best int32) (out strengths) {
	if !b.hyps[best].sag {
		return out
	}
	fit := func(i int) float64 { return b.log[i] - b.first[i] }
	group, most := b.hyps[best].group, fit(int(best))
	var same []int
	for i := range b.hyps {
		if h := &b.hyps[i]; h.group == group && h.sag {
			same, most = append(same, i), max(most, fit(i))
		}
	}
	for _, i := range same {
		if fit(i) < most+math.Log(strongPart) {
			continue
		}
		ohms := b.hyps[i].faults[slices.IndexFunc(b.hyps[i].faults, graded)].N
		if out == (strengths{}) {
			out = strengths{ohms, ohms}
		}
		out = strengths{min(out.low, ohms), max(out.high, ohms)}
	}
	return out
}

// graded reports whether a fault has a strength.
func graded(ft strip.Fault) bool { return strip.FactsOf(ft.Kind).Graded }

// sentence is a fault in words, with the strengths a fall of voltage may have.
func (f *field) sentence(ft strip.Fault, strong strengths) string {
	if strong != (strengths{}) && graded(ft) {
		return strip.SagBetween(strong.low, strong.high)
	}
	return ft.Sentence(f.prop)
}
