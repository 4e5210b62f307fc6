package checkout

import "example.org/ringout/internal/strip"

// secondPrior is the probability that a prop with one fault has another
// (assumed).
const secondPrior = 0.1

// addDownstream adds, for every fault that does not darken all pixels after it,
// the same fault with an unknown one further along the data. The first of two
// faults is then found whatever the second is.
func (f *field) addDownstream() {
	n := len(f.hyps)
	families := map[int32]int{}
	for i := range n {
		h := f.hyps[i]
		if h.family < 0 || h.sameLight != int32(i) || !f.families[h.family].passesLight() {
			continue
		}
		fam, ok := families[h.family]
		if !ok {
			fam = len(f.families)
			families[h.family] = fam
			f.families = append(f.families, f.families[h.family])
			f.families[fam].name += " and more after it"
			f.families[fam].moreAfter = true
			f.families[fam].of = int(h.family)
		}
		h.prior *= secondPrior
		h.moreAfter, h.family, h.group, h.sameLight = true, int32(fam), int32(i), int32(len(f.hyps))
		f.hyps = append(f.hyps, h)
	}
}

// passesLight reports whether pixels after a fault of the family still light.
func (f *family) passesLight() bool {
	return f.placed && (f.facts.Scope == strip.AtPixel || f.facts.Scope == strip.ChipsFrom)
}
