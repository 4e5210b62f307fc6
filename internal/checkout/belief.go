package checkout

import (
	"math"
	"slices"
)

// A belief holds the weight of each hypothesis after some answers: the natural
// logarithm of its prior times the likelihood of every answer. Hypotheses with
// the same light share the weight of the first of them. Pairs of faults
// are appended when no single fault explains the answers. One more hypothesis
// is that the fault is not in the list.
type belief struct {
	hyps         []hypothesis // those of the field, then pairs
	log          []float64    // log posterior, not normalised
	unknown      float64      // the same of a fault that is not in the list
	contradicted []uint8      // number of answers that contradict it, except those corrected when asked again
	weighed      []uint8      // number of answers in log; fewer for hypotheses that are ruled out
	prior        []float64    // log prior; -Inf for all but the first with the same light
}

func (f *field) newBelief() belief {
	n := len(f.hyps)
	b := belief{hyps: f.hyps[:n:n], prior: make([]float64, n), contradicted: make([]uint8, n), weighed: make([]uint8, n)}
	for i := range f.hyps {
		b.prior[f.hyps[i].sameLight] += f.hyps[i].prior
	}
	for i, s := range b.prior {
		b.prior[i] = math.Log(s / 100) // -Inf for all but the first with the same light
	}
	b.log, b.unknown = slices.Clone(b.prior), math.Log(priorUnknown/100.0)
	return b
}

// clone is an independent copy.
func (b *belief) clone() belief {
	c := *b
	c.hyps, c.prior = slices.Clip(b.hyps), slices.Clip(b.prior)
	c.log, c.contradicted, c.weighed = slices.Clone(b.log), slices.Clone(b.contradicted), slices.Clone(b.weighed)
	return c
}

// discount removes the answer of step at from the counts of contradictions: a
// later answer to the same question replaces it. Its likelihood stays in the
// weights, where the later one cancels it. Sound props and faint falls of
// voltage are weighed again from their priors, since a yes may have ruled them
// out for good.
func (b *belief) discount(s *Session, at int) {
	st, seen := &s.steps[at], s.predictionsOf(at)
	for i := range b.log {
		h := &b.hyps[i]
		switch {
		case h.sound() || h.sag && h.faint:
		case int(b.weighed[i]) <= at || b.contradicted[i] == 0:
			continue
		default:
			if _, miss := st.likelihood(h, seen.of(b, s.field, &st.spec, i)); miss {
				b.contradicted[i]--
			}
		}
	}
	st.overruled = true
	for i := range b.log {
		if h := &b.hyps[i]; h.sound() || h.sag && h.faint {
			b.log[i], b.contradicted[i], b.weighed[i] = b.prior[i], 0, 0
		}
	}
	s.weighAll()
}

// ruledOutBelow is the distance below the largest log weight at which a
// hypothesis is ruled out: exp(-14) is about 1 in a million. It is not weighed
// by further answers unless the largest weight falls to within that distance.
const ruledOutBelow = 14

// A posterior is how likely each hypothesis is now. All sum to 1.
type posterior struct {
	each    []float64
	unknown float64
	top     int     // the likeliest listed hypothesis
	share   float64 // posterior of its group
}

// posterior normalises the weights to a posterior.
func (b *belief) posterior() *posterior {
	most := max(slices.Max(b.log), b.unknown)
	p := &posterior{each: make([]float64, len(b.log)), unknown: math.Exp(b.unknown - most)}
	sum := p.unknown
	for i, l := range b.log {
		if l > most-ruledOutBelow {
			p.each[i] = math.Exp(l - most)
			sum += p.each[i]
		}
	}
	p.unknown /= sum
	for i := range p.each {
		p.each[i] /= sum
	}
	b.findTop(p)
	return p
}

// givenKnown returns the weights conditional on the fault being in the list,
// when an unlisted fault has most of the posterior. Otherwise no probe would
// give enough information to be asked. Else it returns w itself.
func (p *posterior) givenKnown(w []float64) []float64 {
	if p.unknown < 0.5 || p.unknown > 1-1e-9 {
		return w
	}
	out := make([]float64, len(w))
	for i := range w {
		out[i] = w[i] / (1 - p.unknown)
	}
	return out
}

// findTop sets p.share to the largest posterior of a group, and p.top to the
// likeliest hypothesis of that group.
func (b *belief) findTop(p *posterior) {
	by := make([]float64, len(p.each))
	for i, w := range p.each {
		by[b.hyps[i].group] += w
	}
	group := int32(0)
	for i, w := range by {
		if w > p.share {
			group, p.share = int32(i), w
		}
	}
	p.top = int(group)
	for i, w := range p.each {
		if b.hyps[i].group == group && w > p.each[p.top] {
			p.top = i
		}
	}
}

// weighAnswers brings every hypothesis that is not ruled out up to date with all
// answers. A pass may lower the largest weight, which brings others back, so it
// repeats until nothing changes.
func (b *belief) weighAnswers(f *field, steps []step, seen []*predictions) {
	for again := true; again; {
		again = false
		top := max(slices.Max(b.log), b.unknown)
		for i := range b.log {
			if b.log[i] > top-ruledOutBelow && int(b.weighed[i]) < len(steps) {
				b.weighRest(i, f, steps, seen)
				again = true
			}
		}
	}
}

// weighRest adds the answers that hypothesis i was not weighed by.
func (b *belief) weighRest(i int, f *field, steps []step, seen []*predictions) {
	for ; int(b.weighed[i]) < len(steps); b.weighed[i]++ {
		if k := b.weighed[i]; steps[k].given >= 0 {
			b.weigh(i, &steps[k], seen[k].of(b, f, &steps[k].spec, i))
		}
	}
}

// weigh adds the likelihood of one answer to hypothesis i. seen is the answer
// that the hypothesis predicts.
func (b *belief) weigh(i int, st *step, seen Token) {
	h := &b.hyps[i]
	ln, miss := st.likelihood(h, seen)
	b.log[i] += ln
	if miss && !st.overruled {
		b.contradicted[i]++
	}
}

// weighUnknown weighs the hypothesis that the fault is not in the list.
func (b *belief) weighUnknown(steps []step, k int) {
	st := &steps[k]
	if st.given < 0 {
		return
	}
	n, given := len(st.answers), st.answers[st.given]
	odds := 1 / float64(n)
	if f := questions[st.spec.Kind].unknownOdds; f != nil {
		odds = f(given, n)
	}
	odds = max(odds, leastUnknown[min(refuted(steps[:k]), len(leastUnknown)-1)])
	if at := earlier(steps[:k], &st.spec); st.spec.Again && at >= 0 && steps[at].given >= 0 {
		odds = errRate / float64(n-1)
		if steps[at].given == st.given {
			odds = 1 - errRate // an unlisted fault looks the same at both times
		}
	}
	b.unknown += math.Log(odds)
}

// leastUnknown is the least likelihood of an answer when the fault is not in the
// list, by the number of explanations that failed their confirming look
// (assumed). An unlisted fault contradicts each new explanation, so each further
// contradiction counts less for it than the first.
var leastUnknown = [...]float64{0, 0.5, 0.8}

// likelihood is the natural logarithm of the likelihood of the answer under h,
// which predicts seen. miss reports whether the answer contradicts h.
func (st *step) likelihood(h *hypothesis, seen Token) (ln float64, miss bool) {
	n, given := len(st.answers), st.answers[st.given]
	due := answerIndex(st.answers, seen)
	switch {
	case seen&roughly != 0 && (given != SeesSparkles || h.sparks):
		return st.gradedLikelihood(seen &^ roughly), false
	case seen == seesFading || seen == seesFaintly:
		return math.Log(fadeOdds[seen][given]), false
	case seen == seesPerhaps && (given == SeesAll || given == SeesMixed):
		return math.Log(0.5), false
	case seen.excludes(given, h):
		due = n // not equal to any answer
	}
	miss = due >= 0 && due != st.given
	if miss && st.refutes(h) {
		return math.Inf(-1), true
	}
	return likelihood(due, st.given, n), miss
}

// refutes reports whether the answer is a yes to a direct question and h
// predicts no visible fault. Such a hypothesis is ruled out: a prop on which the
// builder sees a fault must not be signed off.
func (st *step) refutes(h *hypothesis) bool {
	return saysYes(st.answers[st.given]) && !st.overruled && (h.sound() || h.faint && h.sag)
}

// nominalLikelihood is the likelihood of the answer predicted from the listed
// strength of a fall of voltage, where a strength of 0.8 or 1.25 times that
// predicts another answer. The change is assumed to lie about half-way.
const nominalLikelihood = 0.6

// gradedLikelihood is the natural logarithm of the likelihood of the answer when
// one token has nominalLikelihood and the others share the rest equally.
func (st *step) gradedLikelihood(likely Token) float64 {
	if answerIndex(st.answers, likely) == st.given {
		return math.Log(nominalLikelihood)
	}
	return math.Log((1 - nominalLikelihood) / float64(len(st.answers)-1))
}

// excludes reports whether the prediction t rules out the answer given, where t
// stands for several answers. SeesSparkles needs a fault that sparkles.
func (t Token) excludes(given Token, h *hypothesis) bool {
	switch t {
	case seesNotAll:
		return given == SeesAll || given == SeesSparkles && !h.sparks
	case seesAnything:
		return given == SeesSparkles && !h.sparks
	}
	return t == seesPerhaps
}

// fadeOdds are the likelihoods of the answers where only some people see a fall
// of voltage (common practice).
var fadeOdds = map[Token]map[Token]float64{
	seesFading:  {SeesFades: 0.8, SeesAlike: 0.19, SeesElse: 0.01},
	seesFaintly: {SeesFades: 0.5, SeesAlike: 0.49, SeesElse: 0.01},
}

// saysYes reports whether an answer is a yes to a direct question: the light
// flickers or sparkles, or the far end is dimmer.
func saysYes(t Token) bool {
	return t == SeesFades || t == SeesComes || t == SeesComesAll || t == SeesSparkles
}

// fits reports whether the hypotheses that no answer contradicts have more than
// a tenth of the posterior, and more than an unlisted fault.
func (b *belief) fits(p *posterior) bool {
	sum := 0.0
	for i, w := range p.each {
		if w > 0 && b.contradicted[i] == 0 {
			sum += w
		}
	}
	return sum > max(0.1, p.unknown)
}

// anyFits reports whether a hypothesis that is not ruled out is contradicted by
// no answer.
func (b *belief) anyFits(p *posterior) bool {
	for i, w := range p.each {
		if w > 0 && b.contradicted[i] == 0 {
			return true
		}
	}
	return false
}

// The least sum of posteriors at which the rivals that fit as well as the
// likeliest hypothesis are worth another look: single faults, and pairs.
const (
	rivalsAt = 0.003
	pairsAt  = 0.004
)

// tieBreak returns weights for the likeliest hypothesis, one half, and for its
// rivals that contradict no more answers, together the other half. singles and
// pairs report whether rivals of that kind are worth another look.
func (b *belief) tieBreak(p *posterior) (odds []float64, singles, pairs bool) {
	out, sum, paired := make([]float64, len(p.each)), 0.0, 0.0
	for i, w := range p.each {
		if b.hyps[i].group != b.hyps[p.top].group && b.contradicted[i] <= b.contradicted[p.top] {
			out[i] = w
			sum += w
			if b.hyps[i].partner != 0 {
				paired += w
			}
		}
	}
	for i := range out {
		out[i] *= 0.5 / sum
	}
	out[p.top] = 0.5
	return out, sum-paired > rivalsAt, paired > pairsAt
}
