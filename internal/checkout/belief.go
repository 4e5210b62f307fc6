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
	upto   []uint8 // answers weighed so far; fewer for those out of the running
}

func (f *field) newBelief() belief {
	n := len(f.hyps)
	b := belief{hyps: f.hyps[:n:n], log: make([]float64, n), misses: make([]uint8, n), upto: make([]uint8, n)}
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
	return belief{slices.Clip(b.hyps), slices.Clone(b.log), slices.Clone(b.misses), slices.Clone(b.upto)}
}

// outOfIt is how far below the likeliest, as a logarithm, a hypothesis is out
// of the running: 1 in 10^7. Answers only lower it, so it need not be weighed
// by further ones unless the likeliest falls to it.
const outOfIt = 16

// top is the largest logarithm.
func (b *belief) top() float64 { return slices.Max(b.log) }

// weights are the shares of all hypotheses in the running; they sum to 1.
func (b *belief) weights() []float64 {
	top := b.top()
	w, sum := make([]float64, len(b.log)), 0.0
	for i, l := range b.log {
		if l > top-outOfIt {
			w[i] = math.Exp(l - top)
			sum += w[i]
		}
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// catchUp weighs all hypotheses in the running by the answers they have not
// been weighed by.
func (b *belief) catchUp(f *field, steps []step) {
	shown := make([]shown, len(steps))
	for again := true; again; {
		again = false
		top := b.top()
		for i := range b.log {
			if b.log[i] <= top-outOfIt {
				continue
			}
			for ; int(b.upto[i]) < len(steps); b.upto[i]++ {
				if k := b.upto[i]; steps[k].given >= 0 {
					b.weigh(i, &steps[k], shown[k].by(b, f, &steps[k].spec, i))
				}
				again = true
			}
		}
	}
}

// best is the hypothesis with the largest share, what is behind it or not
// taken together, and that share.
func (b *belief) best(w []float64) (top int, share float64) {
	by := make([]float64, len(w))
	for i := range w {
		by[b.hyps[i].group] += w[i]
	}
	for i := range w {
		if by[i] > share {
			top, share = i, by[i]
		}
	}
	for i := range w {
		if b.hyps[i].group == b.hyps[top].group && w[i] > w[top] {
			top = i
		}
	}
	return top, share
}

// The least share that those who fit as well as the likeliest must have
// together to be worth another look: single faults, and pairs.
const (
	rivalShare = 0.003
	pairShare  = 0.004
)

// duel is the belief when only the likeliest hypothesis and those that fit the
// answers as well are looked at, half of it the likeliest one's; and whether
// single faults, or pairs, that are worth another look fit as well.
func (b *belief) duel(w []float64, top int) (odds []float64, singles, couples bool) {
	out, sum, pairs := make([]float64, len(w)), 0.0, 0.0
	for i := range w {
		if b.hyps[i].group != b.hyps[top].group && b.misses[i] <= b.misses[top] {
			out[i] = w[i]
			sum += w[i]
			if b.hyps[i].with != 0 {
				pairs += w[i]
			}
		}
	}
	for i := range out {
		out[i] *= 0.5 / sum
	}
	out[top] = 0.5
	return out, sum-pairs > rivalShare, pairs > pairShare
}

// fits reports whether hypotheses that contradict no answer still have a fair
// share.
func (b *belief) fits(w []float64) bool {
	sum := 0.0
	for i := range w {
		if w[i] > 0 && b.misses[i] == 0 {
			sum += w[i]
		}
	}
	return sum > 0.1
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
	if odds, ok := fadeOdds[seen]; ok {
		b.log[i] += math.Log(odds[st.answers[st.given]])
		return
	}
	if h := &b.hyps[i]; saysYes(st.answers[st.given]) && due != st.given && (len(h.faults) == 0 || h.sags()) {
		b.log[i] = math.Inf(-1) // nobody signs off what the builder says is wrong, nor takes another fault that hardly shows for it
		return
	}
	b.log[i] += likelihood(due, st.given, n)
	if due >= 0 && due != st.given {
		b.misses[i]++
	}
}

// fadeOdds are the chances of the answers where eyes differ about a fall of
// voltage (common practice).
var fadeOdds = map[Token]map[Token]float64{
	seesFading:  {SeesFades: 0.8, SeesAlike: 0.19, SeesElse: 0.01},
	seesFaintly: {SeesFades: 0.5, SeesAlike: 0.49, SeesElse: 0.01},
}

// saysYes reports whether an answer is a yes to a direct question: whether the
// light comes and goes, or the far end is dimmer.
func saysYes(t Token) bool { return t == SeesFades || t == SeesComes || t == SeesComesAll }
