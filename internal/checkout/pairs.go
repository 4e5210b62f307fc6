package checkout

import (
	"cmp"
	"maps"
	"slices"

	"example.org/ringout/internal/strip"
)

// Two faults at once. Faults that change the whole prop, or a run of it, are
// paired with others when an explanation is about to be accepted, or when none
// fits. The number of pairs tried after one answer is limited; the others are
// tried after the next.

// listGlobals lists the faults that change the light of the whole prop, of a
// run, or of all pixels after them, likeliest first.
func (f *field) listGlobals() {
	m := stripBuilder{field: f}
	black := m.darkFingerprint() // a dark prop hides every other fault
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.family < 0 || h.sameLight != int32(i) || h.moreAfter || h.sparks {
			continue
		}
		facts, ft := f.families[h.family].facts, h.faults[0]
		manyOff := facts.Counted && (ft.N > fewOff || ft.N < -fewOff)
		if !facts.Kind.Placed() && !manyOff && h.fingerprint != black || facts.Scope == strip.ChipsFrom && ft.Pixel == 0 {
			f.globals = append(f.globals, i)
		}
	}
	slices.SortStableFunc(f.globals, func(a, b int) int { return cmp.Compare(f.hyps[b].prior, f.hyps[a].prior) })
	f.globals = f.globals[:min(mostGlobals, len(f.globals))]
	m.findNoData(black)
}

// findNoData finds a fault that keeps all data away but not the supply, and the
// families of faults that light without data.
func (m *stripBuilder) findNoData(black uint64) {
	f := m.field
	for k := range f.families {
		fam := &f.families[k]
		if !fam.placed || fam.moreAfter || fam.from == fam.to {
			continue
		}
		if i := m.darkBeside(&f.hyps[fam.from], black); i != 0 {
			f.noData, f.litWithoutData = i, append(f.litWithoutData, k)
		}
	}
}

// darkBeside is a hypothesis of the whole prop that is dark alone, but not
// together with the fault of h; 0 for none.
func (m *stripBuilder) darkBeside(h *hypothesis, black uint64) int {
	for k := range m.families {
		fam := &m.families[k]
		if fam.placed {
			continue
		}
		for i := fam.from; i < fam.to; i++ {
			if m.hyps[i].fingerprint != black {
				continue
			}
			if st, err := m.strip([]strip.Fault{m.hyps[i].faults[0], h.faults[0]}); err == nil && m.fingerprint(st) != black {
				return i
			}
		}
	}
	return 0
}

// fewOff is the largest error of a pixel count that is paired with another
// fault, and mostGlobals the number of faults of the whole prop that are paired.
const (
	fewOff      = 3
	mostGlobals = 120
)

// considerPairs adds pairs of faults when the likeliest explanation is about to
// be accepted or contradicts an answer. It reports whether any was added.
func (s *Session) considerPairs(p *posterior) bool {
	if len(s.steps) == 0 || s.pairsSearchedAt == len(s.steps) {
		return false
	}
	fits := s.belief.fits(p)
	if p.share < ruleOutAt && (fits && !s.searchCut || len(s.steps) < 3) {
		return false
	}
	s.pairsSearchedAt = len(s.steps)
	d, before := s.pairSearch(p, fits), len(s.belief.hyps)
	fits = fits && !s.searchCut // a search that was cut short may have found only the first pair that fits
	d.run(p, fits, !s.belief.hyps[p.top].sound())
	s.searchCut = !fits && d.budget <= 0
	return len(s.belief.hyps) > before
}

// pairSearch is a search for pairs that contradict fewer answers than the
// likeliest explanation, or as few when that contradicts none.
func (s *Session) pairSearch(p *posterior, fits bool) *pairSearch {
	d := newPairSearch(s)
	top := &s.belief.hyps[p.top]
	if fits && !s.searchCut && top.family >= 0 {
		d.like = s.field.marks[top.family].appearance()
	}
	d.most = int(s.belief.contradicted[p.top])
	if !fits && d.most > 0 {
		d.most--
	}
	return d
}

// forgetPairs allows all pairs to be tried again, since the answers that
// contradicted them have changed.
func (s *Session) forgetPairs() {
	s.covered, s.tried = pairProgress{by: map[int]int{}}, map[uint64]uint8{}
}

// run tries pairs, the likeliest kinds first, until the budget is used. A fault
// at one pixel cannot hide one of the whole prop, so places are not tried while
// the prop looks sound.
func (d *pairSearch) run(p *posterior, fits, faulty bool) {
	s := d.s
	var leaders []int
	if !fits || s.belief.hyps[p.top].moreAfter { // a pair may name the unknown fault
		leaders = d.withLeaders(p)
	}
	var places []int
	if !fits {
		d.amongPixels(s.likelyPlaces(p, 6))
		d.besideNoData()
	}
	if !fits || faulty {
		places = s.likelyPlaces(p, 3)
	}
	d.withWholeProp(fits, places)
	if !fits && d.most >= s.covered.everywhere {
		d.tryAllPlaces(leaders)
	}
}

// withWholeProp pairs faults of the whole prop with one another, and with faults
// near the pixels of places.
func (d *pairSearch) withWholeProp(fits bool, places []int) {
	s := d.s
	for _, g := range s.field.globals {
		slow := s.field.hyps[g].sag // a fall of voltage is slow to run and hides few faults
		if slow && fits {
			continue
		}
		if d.most >= s.covered.globals {
			d.withGlobals(g)
		}
		if len(places) > 0 && !slow && d.most >= s.covered.everywhere {
			d.near(g, places)
		}
	}
	if d.budget > 0 {
		s.covered.globals = max(s.covered.globals, d.most+1)
	}
}

// mostLeaders is the number of likeliest explanations that are paired with all
// faults when none fits.
const mostLeaders = 3

// withLeaders pairs the likeliest explanations with the faults of the whole prop,
// and the first of them with every other fault: an answer that contradicts an
// explanation may come from a second fault. It returns the explanations that are
// still to be paired with faults at every place.
func (d *pairSearch) withLeaders(p *posterior) (left []int) {
	f := d.s.field
	var by []int
	for i, w := range p.each[:len(f.hyps)] {
		if h := &f.hyps[i]; w > 0 && !h.sound() {
			by = append(by, i)
		}
	}
	slices.SortStableFunc(by, func(a, b int) int { return cmp.Compare(p.each[b], p.each[a]) })
	var leaders []int
	for _, i := range by {
		if g := int(f.hyps[f.hyps[i].sameLight].group); len(leaders) < mostLeaders && !slices.Contains(leaders, g) {
			leaders = append(leaders, g)
		}
	}
	for _, g := range leaders {
		for _, o := range f.globals {
			if o != g {
				d.try(min(o, g), max(o, g))
			}
		}
		if !f.hyps[g].sag {
			left = append(left, g)
		}
	}
	if len(left) > 0 {
		d.everywhere(left[0])
		left = left[1:]
	}
	return left
}

// A pairSearch makes pairs of faults and keeps those that fit the answers.
type pairSearch struct {
	stripBuilder
	s            *Session
	steps        []*step // answered steps, the cheapest and latest first
	watchers     []watcher
	fingerprints map[uint64]bool
	noise        *noise
	numbers      *strip.SlotFrame // each pixel is sent its own number
	light        strip.Light
	most         int        // answers that may contradict a pair
	budget       int        // pairs still to be tried
	like         appearance // pair only with faults of this appearance; 0 for all
}

// longBudget is the number of pairs tried after one answer on a long prop, times
// its pixels: about 15 ms on one core. On a short prop, where the rest takes
// less time, shortBudget takes about 40 ms.
const (
	longBudget  = 1_200_000
	shortBudget = 3_200_000
	shortProp   = 300 // pixels
	leastPixels = 60  // shorter props take as long for a pair
)

// budget is the number of pairs tried after one answer.
func (f *field) budget() int {
	if f.pixels <= shortProp {
		return shortBudget / max(f.pixels, leastPixels)
	}
	return longBudget / f.pixels
}

// sagCost is the number of pairs that one with a fall of voltage costs on top.
const sagCost = 50

func newPairSearch(s *Session) *pairSearch {
	d := &pairSearch{stripBuilder: stripBuilder{field: s.field}, s: s, fingerprints: map[uint64]bool{}, budget: s.field.budget()}
	for i := range s.steps {
		if st := &s.steps[i]; st.given >= 0 && !st.overruled {
			d.steps = append(d.steps, st)
		}
	}
	slices.Reverse(d.steps) // later answers rule out more, and a look at one pixel costs least
	slices.SortStableFunc(d.steps, func(a, b *step) int { return cmp.Compare(lookCost(a), lookCost(b)) })
	d.watchers = make([]watcher, len(d.steps))
	for i, st := range d.steps {
		d.watchers[i].watch(s.field, &st.spec)
	}
	for i := len(s.field.hyps); i < len(s.belief.hyps); i++ {
		d.fingerprints[s.belief.hyps[i].fingerprint] = true
	}
	return d
}

// withGlobals pairs a fault of the whole prop with all such faults before it.
func (d *pairSearch) withGlobals(g int) {
	for _, o := range d.s.field.globals {
		if o < g {
			d.try(g, o)
		}
	}
}

// near pairs g with faults within 1 pixel of these pixels, and at the places
// that show, under g, the data of pixels within 3 of them.
func (d *pairSearch) near(g int, pixels []int) {
	f := d.s.field
	want, places := map[int]bool{}, map[int]bool{}
	for _, p := range pixels {
		for i := -3; i <= 3; i++ {
			want[p+i] = true
		}
		places[p-1], places[p], places[p+1] = true, true, true
	}
	if d.numbers == nil {
		d.numbers = f.sound.Lay(numbered(f.pixels))
	}
	st, err := d.strip(f.hyps[g].faults)
	if err != nil {
		return
	}
	at := 0
	d.light = st.ShineInto(d.light, d.numbers)
	for r, run := range d.light {
		for i, c := range run {
			if want[number(c, f.pixels)] && i < f.sizes[r] {
				places[at+i] = true
			}
		}
		at += f.sizes[r]
	}
	d.atPlaces(g, places)
}

// amongPixels pairs the faults at these pixels with one another.
func (d *pairSearch) amongPixels(pixels []int) {
	f := d.s.field
	var at []int
	slices.Sort(pixels)
	for k := range f.families {
		at = append(at, f.atPixels(k, pixels)...)
	}
	for n, i := range at {
		for _, j := range at[:n] {
			if f.hyps[i].place() != f.hyps[j].place() {
				d.try(j, i)
			}
		}
	}
}

// atPixels are the hypotheses of family k at these pixels (ascending), one for
// each light.
func (f *field) atPixels(k int, pixels []int) (out []int) {
	fam := &f.families[k]
	if !fam.placed || fam.moreAfter {
		return nil
	}
	rest := *fam
	for _, p := range pixels { // ascending
		i := f.at(&rest, p)
		if rest.from = i; i < fam.to && f.hyps[i].place() == p && f.hyps[i].sameLight == int32(i) {
			out = append(out, i)
		}
	}
	return out
}

// atPlaces pairs g with every fault at one of these pixels.
func (d *pairSearch) atPlaces(g int, at map[int]bool) {
	f := d.s.field
	pixels := slices.Sorted(maps.Keys(at))
	for k := range f.families {
		if d.like != 0 && d.like != f.marks[k].appearance() {
			continue
		}
		for _, i := range f.atPixels(k, pixels) {
			d.try(g, i)
		}
	}
}

// everywhere pairs g with every fault that has a place.
func (d *pairSearch) everywhere(g int) {
	f := d.s.field
	if d.s.covered.by[g] > d.most {
		return
	}
	for k := range f.families {
		fam := &f.families[k]
		if !fam.placed || fam.moreAfter {
			continue
		}
		for i := fam.from; i < fam.to && d.budget > 0; i++ {
			if f.hyps[i].sameLight == int32(i) {
				d.try(g, i)
			}
		}
	}
	if d.budget > 0 {
		d.s.covered.by[g] = d.most + 1
	}
}

// try adds the pair of hypotheses g and i if it fits the answers and no other
// hypothesis has its light. A pair that was tried before with at least as many
// contradictions allowed is skipped: further answers only add contradictions.
func (d *pairSearch) try(g, i int) {
	if d.budget <= 0 {
		return
	}
	key := uint64(g)<<32 | uint64(i)
	if most, ok := d.s.tried[key]; ok && int(most) >= d.most {
		return
	}
	if d.budget--; d.s.field.hyps[g].sag || d.s.field.hyps[i].sag {
		d.budget -= sagCost
	}
	d.s.tried[key] = uint8(d.most)
	hyps := d.s.field.hyps
	faults := [...]strip.Fault{hyps[g].faults[0], hyps[i].faults[0]}
	st, err := d.strip(faults[:])
	if err != nil || !d.fits(st) {
		return
	}
	p := d.pairFingerprint(st)
	if _, ok := d.s.field.fingerprints[p]; ok || d.fingerprints[p] {
		return
	}
	d.fingerprints[p] = true
	d.add(hypothesis{faults: slices.Clone(faults[:]), family: hyps[i].family, partner: int32(g), fingerprint: p,
		sag: st.Sags(), sparks: st.Sparks(), prior: hyps[g].prior * hyps[i].prior / 100 * secondPrior})
}
