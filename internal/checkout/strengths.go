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
	group, most := b.hyps[best].group, math.Inf(-1)
	fit := func(i int) float64 { return b.log[i] - b.first[i] }
	each := func(do func(i int, ohms int)) {
		for i := range b.hyps {
			h := &b.hyps[i]
			if h.group != group || !h.sag {
				continue
			}
			at := slices.IndexFunc(h.faults, func(ft strip.Fault) bool { return ft.Kind == strip.Sag })
			do(i, h.faults[at].N)
		}
	}
	each(func(i, _ int) { most = max(most, fit(i)) })
	each(func(i, ohms int) {
		switch {
		case fit(i) < most+math.Log(strongPart):
		case out.low == 0:
			out = strengths{ohms, ohms}
		default:
			out = strengths{min(out.low, ohms), max(out.high, ohms)}
		}
	})
	return out
}

// sentence is a fault in words, with the strengths a fall of voltage may have.
func (f *field) sentence(ft strip.Fault, strong strengths) string {
	if ft.Kind == strip.Sag && strong.low > 0 {
		return strip.SagBetween(strong.low, strong.high)
	}
	return ft.Sentence(f.prop)
}
