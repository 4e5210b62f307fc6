package checkout

import "example.org/ringout/internal/strip"

// secondPrior is how likely a prop with one fault is to have another.
const secondPrior = 0.1

// addDownstream adds, to every fault that lets light past it, the same fault
// with an unknown one further along the data: the first of two faults is then
// found whatever the second is.
func (f *field) addDownstream() {
	n := len(f.hyps)
	families := map[int32]int{}
	for i := range n {
		h := f.hyps[i]
		if h.family < 0 || h.twin != int32(i) || !f.families[h.family].shows() {
			continue
		}
		fam, ok := families[h.family]
		if !ok {
			fam = len(f.families)
			families[h.family] = fam
			f.families = append(f.families, f.families[h.family])
			f.families[fam].name += " and more after it"
			f.families[fam].behind = true
			f.families[fam].of = int(h.family)
		}
		h.prior *= secondPrior
		h.behind, h.family, h.group, h.twin = true, int32(fam), int32(i), int32(len(f.hyps))
		f.hyps = append(f.hyps, h)
	}
}

// shows reports whether light gets past a fault of the family.
func (f *family) shows() bool {
	return f.places && (f.facts.Scope == strip.AtPixel || f.facts.Scope == strip.ChipsFrom)
}
