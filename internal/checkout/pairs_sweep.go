package checkout

import (
	"cmp"
	"slices"
)

// pairProgress notes which pairs were all tried with fewer misses allowed than this.
// Those that did not fit then cannot fit later: answers only add misses.
type pairProgress struct {
	globals, everywhere int
	by                  map[int]int // the same of one hypothesis with faults at every place
}

// sweptFirst is how many faults of the whole prop come before further leaders.
const sweptFirst = 3

// sweep pairs faults of the whole prop, and further leaders, with faults at every
// place, first those that contradict the fewest answers: one pixel changes few.
func (d *pairSearch) sweep(leaders []int) {
	all := d.fewestFirst()
	for _, g := range slices.Insert(all, min(sweptFirst, len(all)), leaders...) {
		if d.budget > 0 {
			d.everywhere(g)
		}
	}
	if d.budget > 0 {
		d.s.covered.everywhere = d.most + 1
	}
}

// fewestFirst are the faults of the whole prop in the order of how many answers
// they contradict alone. A fall of voltage is slow to run, and hides little.
func (d *pairSearch) fewestFirst() []int {
	f := d.s.field
	misses := map[int]int{}
	var out []int
	for _, g := range f.globals {
		if f.hyps[g].sag || d.s.covered.by[g] > d.most {
			continue
		}
		if st, err := d.strip(f.hyps[g].faults); err == nil {
			out, misses[g] = append(out, g), d.misses(st, len(d.steps))
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(misses[a], misses[b]) })
	return out
}

// inTheDark pairs what keeps all light away with the faults that light without
// data.
func (d *pairSearch) inTheDark() {
	f := d.s.field
	if f.unfed == 0 || d.s.covered.by[f.unfed] > d.most {
		return
	}
	for _, k := range f.glows {
		for i := f.families[k].from; i < f.families[k].to && d.budget > 0; i++ {
			if f.hyps[i].twin == int32(i) {
				d.try(f.unfed, i)
			}
		}
	}
	if d.budget > 0 {
		d.s.covered.by[f.unfed] = d.most + 1
	}
}

// likelyPlaces are the pixels of the likeliest explanations that have one, at
// most so many.
func (s *Session) likelyPlaces(p *posterior, most int) []int {
	var by []int
	for i, w := range p.each {
		if h := &s.belief.hyps[i]; w > 1e-4 && h.family >= 0 && s.field.families[h.family].places {
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

// walked is 0 for a look at one pixel, and 1 for one at all of them.
func walked(st *step) int {
	if st.spec.row().onePixel {
		return 0
	}
	return 1
}
