package checkout

import (
	"math"
	"slices"
)

// A belief is how likely each hypothesis is after some answers: the logarithm
// of its chance times the likelihood of every answer. Twins are kept at their
// first. Pairs of faults are added when single ones do not do.
type belief struct {
	hyps   []hypothesis // those of the field, then pairs
	log    []float64
	misses []uint8 // answers that were not due
}

func (f *field) newBelief() belief {
	n := len(f.hyps)
	b := belief{hyps: f.hyps[:n:n], log: make([]float64, n), misses: make([]uint8, n)}
	sum := make([]float64, n)
	for i := range f.hyps {
		sum[f.hyps[i].twin] += f.hyps[i].chance
	}
	for i, s := range sum {
		b.log[i] = math.Log(s / 100) // -Inf for twins
	}
	return b
}

// clone is a copy that goes its own way.
func (b *belief) clone() belief {
	return belief{slices.Clip(b.hyps), slices.Clone(b.log), slices.Clone(b.misses)}
}

// weights are the shares of all hypotheses; they sum to 1.
func (b *belief) weights() []float64 {
	top := math.Inf(-1)
	for _, l := range b.log {
		top = max(top, l)
	}
	w, sum := make([]float64, len(b.log)), 0.0
	for i, l := range b.log {
		if l > top-40 {
			w[i] = math.Exp(l - top)
			sum += w[i]
		}
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// best is the hypothesis with the largest share, what is behind it or not
// taken together, and that share.
func (b *belief) best(w []float64) (top int, share float64) {
	by := make(map[int]float64)
	for i := range w {
		if w[i] > 1e-6 {
			by[b.hyps[i].group] += w[i]
		}
	}
	for i := range w {
		if w[i] > 1e-6 && by[b.hyps[i].group] > share {
			top, share = i, by[b.hyps[i].group]
		}
	}
	for i := range w {
		if b.hyps[i].group == b.hyps[top].group && w[i] > w[top] {
			top = i
		}
	}
	return top, share
}

// rivalShare is the least share that those who fit as well as the likeliest
// must have together to be worth another look.
const rivalShare = 0.002

// duel is the belief when only the likeliest hypothesis and those that fit the
// answers as well are looked at, half of it the likeliest one's; false when
// nothing else worth a look fits as well.
func (b *belief) duel(w []float64, top int) ([]float64, bool) {
	out, sum := make([]float64, len(w)), 0.0
	for i := range w {
		if b.hyps[i].group != b.hyps[top].group && b.misses[i] <= b.misses[top] {
			out[i] = w[i]
			sum += w[i]
		}
	}
	for i := range out {
		out[i] *= 0.5 / sum
	}
	out[top] = 0.5
	return out, sum > rivalShare
}

// weigh moves hypothesis i by one answer, given what it would show.
func (b *belief) weigh(i int, st *step, seen Token) {
	if math.IsInf(b.log[i], -1) {
		return
	}
	n := len(st.answers)
	due := place(st.answers, seen)
	if seen == seesNotAll && st.answers[st.given] == SeesAll {
		due = n // none of those given
	}
	if seen == seesPerhaps {
		due = n
		if g := st.answers[st.given]; g == SeesAll || g == SeesMixed {
			b.log[i] += math.Log(0.5)
			return
		}
	}
	b.log[i] += likelihood(due, st.given, n)
	if due >= 0 && due != st.given {
		b.misses[i]++
	}
}
