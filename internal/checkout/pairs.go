package checkout

import (
	"cmp"
	"maps"
	"slices"

	"example.org/ringout/internal/strip"
)

// Two faults at once. Faults that change the whole prop, or a run of it, are
// paired with others when an explanation is about to be accepted, or when none
// fits. The work of one step is limited; the rest is tried at the next.

// listGlobals lists the faults that change the light of the whole prop, of a
// run, or of all that comes after them, likeliest first.
func (f *field) listGlobals() {
	m := stripBuilder{field: f}
	black := m.black() // hides every other fault
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.family < 0 || h.twin != int32(i) || h.behind || h.sparks {
			continue
		}
		facts, ft := f.families[h.family].facts, h.faults[0]
		manyOff := facts.Counted && (ft.N > fewOff || ft.N < -fewOff)
		if !facts.Kind.Placed() && !manyOff && h.print != black || facts.Scope == strip.ChipsFrom && ft.Pixel == 0 {
			f.globals = append(f.globals, i)
		}
	}
	slices.SortStableFunc(f.globals, func(a, b int) int { return cmp.Compare(f.hyps[b].prior, f.hyps[a].prior) })
	f.globals = f.globals[:min(mostGlobals, len(f.globals))]
	m.listUnfed(black)
}

// listUnfed finds a fault that keeps all data away and not the supply, and the
// families that light all the same.
func (m *stripBuilder) listUnfed(black uint64) {
	f := m.field
	for k := range f.families {
		fam := &f.families[k]
		if !fam.places || fam.behind || fam.from == fam.to {
			continue
		}
		if i := m.darkBeside(&f.hyps[fam.from], black); i != 0 {
			f.unfed, f.glows = i, append(f.glows, k)
		}
	}
}

// darkBeside is a hypothesis without a place in which nothing lights, but the
// fault of another beside it does; 0 for none.
func (m *stripBuilder) darkBeside(h *hypothesis, black uint64) int {
	for k := range m.families {
		fam := &m.families[k]
		if fam.places {
			continue
		}
		for i := fam.from; i < fam.to; i++ {
			if m.hyps[i].print != black {
				continue
			}
			if st, err := m.strip([]strip.Fault{m.hyps[i].faults[0], h.faults[0]}); err == nil && m.print(st) != black {
				return i
			}
		}
	}
	return 0
}

// fewOff is how far a count is thought to be off beside another fault, and
// mostGlobals how many faults of the whole prop are paired.
const (
	fewOff      = 3
	mostGlobals = 120
)

// considerPairs adds pairs of faults when the likeliest explanation is about to
// be accepted or contradicts an answer.
func (s *Session) considerPairs(p *posterior) bool {
	if len(s.steps) == 0 || s.paired == len(s.steps) {
		return false
	}
	fits := s.belief.fits(p)
	if p.share < nearly && (fits && !s.cut || len(s.steps) < 3) {
		return false
	}
	s.paired = len(s.steps)
	d, before := s.pairSearch(p, fits), len(s.belief.hyps)
	fits = fits && !s.cut // what fits may be the first of many that do
	d.run(p, fits, !s.belief.hyps[p.top].sound())
	s.cut = !fits && d.budget <= 0
	return len(s.belief.hyps) > before
}

// pairSearch is a search for pairs that contradict fewer answers than the
// likeliest explanation, or as few when that contradicts none.
func (s *Session) pairSearch(p *posterior, fits bool) *pairSearch {
	d := newPairSearch(s)
	top := &s.belief.hyps[p.top]
	if fits && !s.cut && top.family >= 0 {
		d.like = s.field.marks[top.family].look()
	}
	d.most = int(s.belief.misses[p.top])
	if !fits && d.most > 0 {
		d.most--
	}
	return d
}

// forgetPairs lets pairs be tried that were before: what spoke against them may
// no longer count.
func (s *Session) forgetPairs() {
	s.covered, s.tried = pairProgress{by: map[int]int{}}, map[uint64]uint8{}
}

// run tries pairs, the likeliest sorts first, as long as the budget lasts. A
// fault at a place hides no fault of the whole prop, so none is sought while
// all looks sound.
func (d *pairSearch) run(p *posterior, fits, faulty bool) {
	s := d.s
	var leaders []int
	if !fits || s.belief.hyps[p.top].behind { // what is after it may be named
		leaders = d.besideLeaders(p)
	}
	var places []int
	if !fits {
		d.together(s.likelyPlaces(p, 6))
		d.inTheDark()
	}
	if !fits || faulty {
		places = s.likelyPlaces(p, 3)
	}
	d.global(fits, places)
	if !fits && d.most >= s.covered.everywhere {
		d.sweep(leaders)
	}
}

// global pairs faults of the whole prop with one another, and with faults near
// some places.
func (d *pairSearch) global(fits bool, places []int) {
	s := d.s
	for _, g := range s.field.globals {
		slow := s.field.hyps[g].sag // slow to run, and hides little
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

// mostLeaders is how many of the likeliest explanations are paired with
// everything when none fits.
const mostLeaders = 3

// besideLeaders pairs the likeliest explanations with those of the whole prop,
// and the first of them with every other fault: what contradicts one of them may
// be a second fault beside it. It returns those that are left to pair with faults
// at every place.
func (d *pairSearch) besideLeaders(p *posterior) (left []int) {
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
		if g := int(f.hyps[f.hyps[i].twin].group); len(leaders) < mostLeaders && !slices.Contains(leaders, g) {
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

// A pairSearch makes pairs and keeps those that fit the answers.
type pairSearch struct {
	stripBuilder
	s       *Session
	steps   []*step // that were answered
	look    []watcher
	prints  map[uint64]bool
	noise   *noise
	numbers *strip.SlotFrame // every pixel its own number
	light   strip.Light
	most    int // misses allowed
	budget  int
	like    appearance // pair only with faults that look alike; 0 for all
}

// longBudget is how many pairs are tried at one step on a long prop, times
// pixels: what takes about 15 ms on one core. On a short one, whose other
// questions are worked out sooner, it may take 40 ms.
const (
	longBudget  = 1_200_000
	shortBudget = 3_200_000
	shortProp   = 300 // pixels
	leastPixels = 60  // shorter props take as long for a pair
)

// budget is how many pairs are tried at one step.
func (f *field) budget() int {
	if f.pixels <= shortProp {
		return shortBudget / max(f.pixels, leastPixels)
	}
	return longBudget / f.pixels
}

// sagCost is how many pairs more one with a fall of voltage represents.
const sagCost = 50

func newPairSearch(s *Session) *pairSearch {
	d := &pairSearch{stripBuilder: stripBuilder{field: s.field}, s: s, prints: map[uint64]bool{}, budget: s.field.budget()}
	for i := range s.steps {
		if st := &s.steps[i]; st.given >= 0 && !st.overruled {
			d.steps = append(d.steps, st)
		}
	}
	slices.Reverse(d.steps) // the last ones tell most, and a look at one pixel costs least
	slices.SortStableFunc(d.steps, func(a, b *step) int { return cmp.Compare(walked(a), walked(b)) })
	d.look = make([]watcher, len(d.steps))
	for i, st := range d.steps {
		d.look[i].watch(s.field, &st.spec)
	}
	for i := len(s.field.hyps); i < len(s.belief.hyps); i++ {
		d.prints[s.belief.hyps[i].print] = true
	}
	return d
}

// withGlobals pairs a fault of the whole prop with all others of its sort.
func (d *pairSearch) withGlobals(g int) {
	for _, o := range d.s.field.globals {
		if o < g {
			d.try(g, o)
		}
	}
}

// near pairs g with faults at the places that, under g, show what a sound prop
// shows at these pixels, and close to them.
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
	d.places(g, places)
}

// together pairs faults that sit at these pixels with one another.
func (d *pairSearch) together(pixels []int) {
	f := d.s.field
	var at []int
	slices.Sort(pixels)
	for k := range f.families {
		at = append(at, f.sitting(k, pixels)...)
	}
	for n, i := range at {
		for _, j := range at[:n] {
			if f.hyps[i].place() != f.hyps[j].place() {
				d.try(j, i)
			}
		}
	}
}

// sitting are the hypotheses of family k at these pixels, one for each light.
func (f *field) sitting(k int, pixels []int) (out []int) {
	fam := &f.families[k]
	if !fam.places || fam.behind {
		return nil
	}
	rest := *fam
	for _, p := range pixels { // ascending
		i := f.at(&rest, p)
		if rest.from = i; i < fam.to && f.hyps[i].place() == p && f.hyps[i].twin == int32(i) {
			out = append(out, i)
		}
	}
	return out
}

// places pairs g with every fault that sits at one of these pixels.
func (d *pairSearch) places(g int, at map[int]bool) {
	f := d.s.field
	pixels := slices.Sorted(maps.Keys(at))
	for k := range f.families {
		if d.like != 0 && d.like != f.marks[k].look() {
			continue
		}
		for _, i := range f.sitting(k, pixels) {
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
		if !fam.places || fam.behind {
			continue
		}
		for i := fam.from; i < fam.to && d.budget > 0; i++ {
			if f.hyps[i].twin == int32(i) {
				d.try(g, i)
			}
		}
	}
	if d.budget > 0 {
		d.s.covered.by[g] = d.most + 1
	}
}

// try adds the pair of hypotheses g and i if it fits the answers and shows
// something no other does. A pair that was tried before with as many misses
// allowed was taken in or cannot fit: answers only add misses.
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
	p := d.print(st)
	if _, ok := d.s.field.prints[p]; ok || d.prints[p] {
		return
	}
	d.prints[p] = true
	d.add(hypothesis{faults: slices.Clone(faults[:]), family: hyps[i].family, with: int32(g), print: p,
		sag: st.Sags(), sparks: st.Sparks(), prior: hyps[g].prior * hyps[i].prior / 100 * secondPrior})
}
