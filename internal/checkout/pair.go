package checkout

import (
	"math"
	"slices"

	"example.org/ringout/internal/strip"
)

// print represents the light of a strip. Fingerprints have no fall of voltage in
// them, so its strength is added.
func (d *pairSearch) print(st *strip.Strip) uint64 {
	if d.s.field.dark != nil {
		if d.noise == nil {
			d.noise = newNoise(d.s.field)
		}
		return d.noise.print(st)
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
func (d *pairSearch) fits(st *strip.Strip) bool { return d.misses(st, d.most) <= d.most }

// misses is how many answers a strip contradicts; one more than most when it is
// more.
func (d *pairSearch) misses(st *strip.Strip, most int) (n int) {
	for k, step := range d.steps {
		if due := place(step.answers, d.look[k].sees(st)); due >= 0 && due != step.given {
			if n++; n > most {
				break
			}
		}
	}
	return n
}

// groupOf is the first pair of the same faults but for how strong a fall of
// voltage is: together they are one explanation.
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

// add adds a pair, weighed by all answers.
func (d *pairSearch) add(h hypothesis) {
	b := &d.s.belief
	i := len(b.hyps)
	h.twin, h.group = int32(i), d.groupOf(&h, int32(i))
	b.hyps = append(b.hyps, h)
	b.first = append(b.first, math.Log(h.prior/100))
	b.log = append(b.log, math.Log(h.prior/100))
	b.misses = append(b.misses, 0)
	b.upto = append(b.upto, uint8(len(d.s.steps)))
	for k, st := range d.steps {
		b.weigh(i, st, d.look[k].expects(&h))
	}
}
