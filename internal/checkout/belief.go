package checkout

import (
	"math"
	"slices"
)

// A belief is how likely each hypothesis is after some answers: the logarithm
// of its prior times the likelihood of every answer. Twins are kept at their
// first. Pairs of faults are added when no single fault explains the answers. A
// further hypothesis is that the fault is not in the list.
type belief struct {
	hyps    []hypothesis // those of the field, then pairs
	log     []float64
	unknown float64   // log posterior of a fault that is not in the list, not normalised
	misses  []uint8   // answers that each contradicts, except those corrected when asked again
	upto    []uint8   // answers weighed so far; fewer for those ruled out
	first   []float64 // log before any answer
}

func (f *field) newBelief() belief {
	n := len(f.hyps)
	b := belief{hyps: f.hyps[:n:n], first: make([]float64, n), misses: make([]uint8, n), upto: make([]uint8, n)}
	for i := range f.hyps {
		b.first[f.hyps[i].twin] += f.hyps[i].prior
	}
	for i, s := range b.first {
		b.first[i] = math.Log(s / 100) // -Inf for twins
	}
	b.log, b.unknown = slices.Clone(b.first), math.Log(priorUnknown/100.0)
	return b
}

// clone is an independent copy.
func (b *belief) clone() belief {
	c := *b
	c.hyps, c.first = slices.Clip(b.hyps), slices.Clip(b.first)
	c.log, c.misses, c.upto = slices.Clone(b.log), slices.Clone(b.misses), slices.Clone(b.upto)
	return c
}

// excuse no longer counts the answer of step at as a miss, since a later answer
// to the same question replaces it. Both stay weighed: two contradicting
// answers cancel. A hypothesis that a yes had ruled out is weighed again.
func (b *belief) excuse(s *Session, at int) {
	st, seen := &s.steps[at], s.shown(at)
	for i := range b.log {
		h := &b.hyps[i]
		switch {
		case h.sound() || h.sag && h.faint:
		case int(b.upto[i]) <= at || b.misses[i] == 0:
			continue
		default:
			if _, miss := st.likelihood(h, seen.by(b, s.field, &st.spec, i)); miss {
				b.misses[i]--
			}
		}
	}
	st.overruled = true
	for i := range b.log {
		if h := &b.hyps[i]; h.sound() || h.sag && h.faint {
			b.log[i], b.misses[i], b.upto[i] = b.first[i], 0, 0
		}
	}
	s.weighAll()
}

// outOfIt is how far below the likeliest, as a logarithm, a hypothesis is ruled
// out: 1 in a million. Answers only lower it, so it need not be weighed by
// further ones unless the likeliest falls to it.
const outOfIt = 14

// A posterior is how likely each hypothesis is now. All sum to 1.
type posterior struct {
	each    []float64
	unknown float64
	top     int     // the likeliest of those known
	share   float64 // posterior of all that say the same as it
}

// posterior normalises the weights to a posterior.
func (b *belief) posterior() *posterior {
	most := max(slices.Max(b.log), b.unknown)
	p := &posterior{each: make([]float64, len(b.log)), unknown: math.Exp(b.unknown - most)}
	sum := p.unknown
	for i, l := range b.log {
		if l > most-outOfIt {
			p.each[i] = math.Exp(l - most)
			sum += p.each[i]
		}
	}
	p.unknown /= sum
	for i := range p.each {
		p.each[i] /= sum
	}
	b.lead(p)
	return p
}

// ofKnown are weights as parts of what is known, when the most is not: which of
// them it is if it is one of them is still worth a look.
func (p *posterior) ofKnown(w []float64) []float64 {
	if p.unknown < 0.5 || p.unknown > 1-1e-9 {
		return w
	}
	out := make([]float64, len(w))
	for i := range w {
		out[i] = w[i] / (1 - p.unknown)
	}
	return out
}

// lead finds the explanation with the largest posterior, what is after it or
// not and how strong it is taken together, and of those the likeliest.
func (b *belief) lead(p *posterior) {
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

// catchUp weighs all hypotheses that are not ruled out by the answers that are
// still missing.
func (b *belief) catchUp(f *field, steps []step, seen []*predictions) {
	for again := true; again; {
		again = false
		top := max(slices.Max(b.log), b.unknown)
		for i := range b.log {
			if b.log[i] > top-outOfIt && int(b.upto[i]) < len(steps) {
				b.weighRest(i, f, steps, seen)
				again = true
			}
		}
	}
}

// weighRest moves hypothesis i by the answers that it has not been weighed by.
func (b *belief) weighRest(i int, f *field, steps []step, seen []*predictions) {
	for ; int(b.upto[i]) < len(steps); b.upto[i]++ {
		if k := b.upto[i]; steps[k].given >= 0 {
			b.weigh(i, &steps[k], seen[k].by(b, f, &steps[k].spec, i))
		}
	}
}

// weigh moves hypothesis i by one answer, given what it would show.
func (b *belief) weigh(i int, st *step, seen Token) {
	h := &b.hyps[i]
	ln, miss := st.likelihood(h, seen)
	b.log[i] += ln
	if miss && !st.overruled {
		b.misses[i]++
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
	if f := questions[st.spec.Kind].strange; f != nil {
		odds = f(given, n)
	}
	odds = max(odds, grasped[min(refuted(steps[:k]), len(grasped)-1)])
	if at := earlier(steps[:k], &st.spec); st.spec.Again && at >= 0 && steps[at].given >= 0 {
		odds = errRate / float64(n-1)
		if steps[at].given == st.given {
			odds = 1 - errRate // whatever it is, it still looks so
		}
	}
	b.unknown += math.Log(odds)
}

// grasped is the least likelihood of an answer when the fault is none of the
// list, by how many explanations failed their confirming look: it is one thing,
// and a builder who tries one guess after another is less surprised by each further
// look than by the first.
var grasped = [...]float64{0, 0.5, 0.8}

// likelihood is the logarithm of the likelihood of the answer, given what the
// hypothesis would show, and whether another answer was due.
func (st *step) likelihood(h *hypothesis, seen Token) (ln float64, miss bool) {
	n, given := len(st.answers), st.answers[st.given]
	due := place(st.answers, seen)
	switch {
	case seen&roughly != 0 && (given != SeesSparkles || h.sparks):
		return st.rough(seen &^ roughly), false
	case seen == seesFading || seen == seesFaintly:
		return math.Log(fadeOdds[seen][given]), false
	case seen == seesPerhaps && (given == SeesAll || given == SeesMixed):
		return math.Log(0.5), false
	case seen.excludes(given, h):
		due = n // none of those given
	}
	miss = due >= 0 && due != st.given
	if miss && st.refutes(h) {
		return math.Inf(-1), true
	}
	return likelihood(due, st.given, n), miss
}

// refutes reports whether the answer is a yes to a direct question that rules
// the hypothesis out. A prop on which the builder sees something wrong must not
// be signed off, nor must the sight be put down to a fault that hardly shows.
func (st *step) refutes(h *hypothesis) bool {
	return saysYes(st.answers[st.given]) && !st.overruled && (h.sound() || h.faint && h.sag)
}

// roughlyRight is the likelihood of the answer that the strength taken for a
// fall of voltage gives, where another strength gives another: strengths from
// 0.8 to 1.25 times the one taken count as that, and what changes within them
// does so about half-way.
const roughlyRight = 0.6

// rough is the logarithm of the likelihood of the answer when a token is likely
// and every other is possible.
func (st *step) rough(likely Token) float64 {
	if place(st.answers, likely) == st.given {
		return math.Log(roughlyRight)
	}
	return math.Log((1 - roughlyRight) / float64(len(st.answers)-1))
}

// excludes reports whether an answer that is not settled cannot be this one:
// not all is not all, what comes and goes is seen so or as all, and what
// sparkles has that fault, whatever else is wrong.
func (t Token) excludes(given Token, h *hypothesis) bool {
	switch t {
	case seesNotAll:
		return given == SeesAll || given == SeesSparkles && !h.sparks
	case seesAnything:
		return given == SeesSparkles && !h.sparks
	}
	return t == seesPerhaps
}

// fadeOdds are the likelihoods of the answers where eyes differ about a fall of
// voltage (common practice).
var fadeOdds = map[Token]map[Token]float64{
	seesFading:  {SeesFades: 0.8, SeesAlike: 0.19, SeesElse: 0.01},
	seesFaintly: {SeesFades: 0.5, SeesAlike: 0.49, SeesElse: 0.01},
}

// saysYes reports whether an answer is a yes to a direct question: whether the
// light comes and goes, or the far end is dimmer.
func saysYes(t Token) bool {
	return t == SeesFades || t == SeesComes || t == SeesComesAll || t == SeesSparkles
}

// fits reports whether hypotheses that contradict no answer still have a fair
// part of the whole, and more than what is not known.
func (b *belief) fits(p *posterior) bool {
	sum := 0.0
	for i, w := range p.each {
		if w > 0 && b.misses[i] == 0 {
			sum += w
		}
	}
	return sum > max(0.1, p.unknown)
}

// anyFits reports whether a hypothesis in the running contradicts no answer.
func (b *belief) anyFits(p *posterior) bool {
	for i, w := range p.each {
		if w > 0 && b.misses[i] == 0 {
			return true
		}
	}
	return false
}

// The least posterior that those who fit as well as the likeliest must have
// together to be worth another look: single faults, and pairs.
const (
	rivalsAt = 0.003
	pairsAt  = 0.004
)

// tieBreak is the posterior when only the likeliest hypothesis and those that
// fit the answers as well are looked at, half of it the likeliest one's; and
// whether single faults, or pairs, that are worth another look fit as well.
func (b *belief) tieBreak(p *posterior) (odds []float64, singles, pairs bool) {
	out, sum, paired := make([]float64, len(p.each)), 0.0, 0.0
	for i, w := range p.each {
		if b.hyps[i].group != b.hyps[p.top].group && b.misses[i] <= b.misses[p.top] {
			out[i] = w
			sum += w
			if b.hyps[i].with != 0 {
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
