package checkout

import (
	"math"
	"slices"

	"example.org/ringout/internal/strip"
)

// strengths is the range of strength of a fall of voltage, in milliohms a metre;
// 0 for faults without one.
type strengths struct{ low, high int }

// strongPart is the least likelihood of a strength that is named, as a part of
// the best one's.
const strongPart = 0.1

// strengths is the range of strengths in the group of a hypothesis that fit the
// answers about as well as the best one. Priors do not count here, so that a
// rare strength is named too.
func (b *belief) strengths(best int32) (out strengths) {
	if !b.hyps[best].sag {
		return out
	}
	fit := func(i int) float64 { return b.log[i] - b.prior[i] }
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

// graded reports whether a fault has a strength as its parameter.
func graded(ft strip.Fault) bool { return strip.FactsOf(ft.Kind).Graded }

// sentence is the sentence of a fault, with the range of a fall of voltage.
func (f *field) sentence(ft strip.Fault, strong strengths) string {
	if strong != (strengths{}) && graded(ft) {
		return strip.SagBetween(strong.low, strong.high)
	}
	return ft.Sentence(f.prop)
}
