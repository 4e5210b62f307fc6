package checkout

import (
	"math"
	"slices"

	"example.org/ringout/internal/strip"
)

// pairFingerprint is a hash of a strip's light. Strip fingerprints leave out a
// fall of voltage, so its strength is mixed in.
func (d *pairSearch) pairFingerprint(st *strip.Strip) uint64 {
	if d.s.field.dark != nil {
		if d.noise == nil {
			d.noise = newNoise(d.s.field)
		}
		return d.noise.fingerprint(st)
	}
	p := st.Fingerprint()
	for _, ft := range st.Faults() {
		if graded(ft) {
			p ^= uint64(ft.N+1) * 0x9e3779b97f4a7c15
		}
	}
	return p
}

// fits reports whether a strip contradicts no more answers than are allowed.
func (d *pairSearch) fits(st *strip.Strip) bool { return d.contradicted(st, d.most) <= d.most }

// contradicted is the number of answers that contradict a strip, or most+1 when
// there are more than most.
func (d *pairSearch) contradicted(st *strip.Strip, most int) (n int) {
	for k, step := range d.steps {
		if due := answerIndex(step.answers, d.watchers[k].sees(st)); due >= 0 && due != step.given {
			if n++; n > most {
				break
			}
		}
	}
	return n
}

// groupOf is the group of a pair: pairs that differ only in the strength of a
// fall of voltage are one explanation. itself is the pair's own index.
func (d *pairSearch) groupOf(h *hypothesis, itself int32) int32 {
	if !h.sag {
		return itself
	}
	hyps := d.s.belief.hyps
	for i := len(d.s.field.hyps); i < len(hyps); i++ {
		if hyps[i].sag && slices.EqualFunc(hyps[i].faults, h.faults, strip.Fault.Same) {
			return hyps[i].group
		}
	}
	return itself
}

// add appends a pair to the hypotheses and weighs it by all answers.
func (d *pairSearch) add(h hypothesis) {
	b := &d.s.belief
	i := len(b.hyps)
	h.sameLight, h.group = int32(i), d.groupOf(&h, int32(i))
	b.hyps = append(b.hyps, h)
	b.prior = append(b.prior, math.Log(h.prior/100))
	b.log = append(b.log, math.Log(h.prior/100))
	b.contradicted = append(b.contradicted, 0)
	b.weighed = append(b.weighed, uint8(len(d.s.steps)))
	for k, st := range d.steps {
		b.weigh(i, st, d.watchers[k].expects(&h))
	}
}
