package checkout

import (
	"cmp"
	"slices"
)

// pairProgress holds, for each set of pairs, 1 + the number of contradictions
// allowed when all of the set were last tried; 0 for never. Pairs that did not
// fit then cannot fit later: answers only add contradictions.
type pairProgress struct {
	globals    int         // pairs of faults of the whole prop
	everywhere int         // faults of the whole prop with faults at every place
	by         map[int]int // by hypothesis: its pairs with faults at every place
}

// globalsBeforeLeaders is the number of faults of the whole prop that are tried
// before further leaders.
const globalsBeforeLeaders = 3

// tryAllPlaces pairs faults of the whole prop, and further leaders, with faults
// at every place. Those that contradict the fewest answers come first, since one
// pixel changes few answers.
func (d *pairSearch) tryAllPlaces(leaders []int) {
	all := d.fewestFirst()
	for _, g := range slices.Insert(all, min(globalsBeforeLeaders, len(all)), leaders...) {
		if d.budget > 0 {
			d.everywhere(g)
		}
	}
	if d.budget > 0 {
		d.s.covered.everywhere = d.most + 1
	}
}

// fewestFirst are the faults of the whole prop that were not tried yet, by the
// number of answers that contradict them alone. A fall of voltage is left out:
// it is slow to run and hides few faults.
func (d *pairSearch) fewestFirst() []int {
	f := d.s.field
	contradictions := map[int]int{}
	var out []int
	for _, g := range f.globals {
		if f.hyps[g].sag || d.s.covered.by[g] > d.most {
			continue
		}
		if st, err := d.strip(f.hyps[g].faults); err == nil {
			out, contradictions[g] = append(out, g), d.contradicted(st, len(d.steps))
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(contradictions[a], contradictions[b]) })
	return out
}

// besideNoData pairs a fault that keeps all data away with the faults that light
// without data.
func (d *pairSearch) besideNoData() {
	f := d.s.field
	if f.noData == 0 || d.s.covered.by[f.noData] > d.most {
		return
	}
	for _, k := range f.litWithoutData {
		for i := f.families[k].from; i < f.families[k].to && d.budget > 0; i++ {
			if f.hyps[i].sameLight == int32(i) {
				d.try(f.noData, i)
			}
		}
	}
	if d.budget > 0 {
		d.s.covered.by[f.noData] = d.most + 1
	}
}

// likelyPlaces are the pixels of the likeliest hypotheses with a place, at most
// most of them.
func (s *Session) likelyPlaces(p *posterior, most int) []int {
	var by []int
	for i, w := range p.each {
		if h := &s.belief.hyps[i]; w > 1e-4 && h.family >= 0 && s.field.families[h.family].placed {
			by = append(by, i)
		}
	}
	slices.SortStableFunc(by, func(a, b int) int { return cmp.Compare(p.each[b], p.each[a]) })
	var out []int
	for _, i := range by {
		if at := s.belief.hyps[i].place(); !slices.Contains(out, at) && len(out) < most {
			out = append(out, at)
		}
	}
	return out
}

// lookCost orders looks by their cost: 0 for one pixel, 1 for all pixels.
func lookCost(st *step) int {
	if st.spec.row().onePixel {
		return 0
	}
	return 1
}
