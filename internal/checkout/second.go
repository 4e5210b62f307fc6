package checkout

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"example.org/ringout/internal/strip"
)

// Two faults at once. Faults that sit at one place are looked for with
// something unknown behind them, so that the first of two on the way of the
// data is found whatever follows. Faults that change the whole prop are paired
// with others when an explanation is about to stand, or when none fits.

// secondChance is that a prop with one fault has another.
const secondChance = 0.1

// veiled is what is still sure of an answer when something unknown lies behind
// a fault: where the first odd place is, that not all is as sent, and what lies
// before it.
func (h *hypothesis) veiled(f *field, s *Spec, t Token) Token {
	switch s.Kind {
	case AskBefore, AskOdd, AskMark, AskRuns:
		if t != SeesAsDrawn {
			return t
		}
	case AskEven:
		if t != SeesAll {
			return seesNotAll
		}
	case AskPlace:
		if s.Pixel >= 0 && f.firsts[s.Run]+s.Pixel < h.place() {
			return t
		}
	}
	return seesAnything
}

// addBehind adds, to every fault that shows what lies behind it, the same with
// something unknown there.
func (f *field) addBehind() {
	n := len(f.hyps)
	families := map[int]int{}
	for i := range n {
		h := f.hyps[i]
		if h.family < 0 || h.twin != i || !f.families[h.family].shows() {
			continue
		}
		fam, ok := families[h.family]
		if !ok {
			fam = len(f.families)
			families[h.family] = fam
			f.families = append(f.families, f.families[h.family])
			f.families[fam].name += " and more behind"
			f.families[fam].behind = true
		}
		h.chance *= secondChance
		h.behind, h.family, h.group, h.twin = true, fam, i, len(f.hyps)
		f.hyps = append(f.hyps, h)
	}
}

// shows reports whether light gets past a fault of the family.
func (f *family) shows() bool {
	switch f.kind {
	case strip.DeadPixel, strip.DeadChannel, strip.WrongOrder, strip.WrongChip:
		return f.places
	}
	return false
}

// listGlobals lists the faults that change the light of the whole prop, or of
// all that comes after them.
func (f *field) listGlobals() {
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.family < 0 || h.twin != i || h.behind {
			continue
		}
		switch ft := h.faults[0]; ft.Kind {
		case strip.Mirrored, strip.RunMirrored, strip.RunsSwapped, strip.SlotShift, strip.Grouped, strip.Sag, strip.Count:
			f.globals = append(f.globals, i)
		case strip.WrongOrder, strip.WrongChip:
			if ft.Pixel == 0 {
				f.globals = append(f.globals, i)
			}
		}
	}
	slices.SortStableFunc(f.globals, func(a, b int) int { return cmp.Compare(f.hyps[b].chance, f.hyps[a].chance) })
}

// reconsider adds pairs of faults when the likeliest explanation is about to
// stand or contradicts an answer.
func (s *Session) reconsider() {
	if len(s.steps) == 0 || s.doubted == len(s.steps) {
		return
	}
	w := s.belief.weights()
	top, share := s.belief.best(w)
	fits := s.belief.fits(w)
	if share < nearly && (fits || len(s.steps) < 3) {
		return
	}
	s.doubted = len(s.steps)
	d := newDoubter(s)
	if fits && s.belief.hyps[top].family >= 0 {
		d.like = s.field.families[s.belief.hyps[top].family].kind
	}
	d.most = int(s.belief.misses[top])
	if !fits && d.most > 0 {
		d.most--
	}
	var places []int // a fault at a place hides no fault of the whole prop, so none is sought while all looks sound
	if !fits || len(s.belief.hyps[top].faults) > 0 {
		places = s.likelyPlaces(3)
	}
	if !fits {
		d.together(s.likelyPlaces(6))
	}
	for _, g := range s.field.globals {
		sag := s.field.hyps[g].faults[0].Kind == strip.Sag // slow to run, and hides little
		if d.most >= s.swept.globals && !(sag && fits) {
			d.withGlobals(g)
		}
		if len(places) > 0 && d.most >= s.swept.everywhere && !(sag && fits) {
			d.near(g, places)
		}
	}
	if d.budget > 0 {
		s.swept.globals = max(s.swept.globals, d.most+1)
	}
	if !fits && d.most >= s.swept.everywhere {
		if d.sweep(); d.budget > 0 {
			s.swept.everywhere = d.most + 1
		}
	}
}

// swept notes which pairs were all tried with fewer misses allowed than this.
// Those that did not fit then cannot fit later: answers only add misses.
type swept struct{ globals, everywhere int }

// sweep pairs faults of the whole prop with faults at every place.
func (d *doubter) sweep() {
	f := d.s.field
	for _, g := range f.globals {
		switch ft := f.hyps[g].faults[0]; {
		case ft.Kind == strip.Sag: // slow to run, and hides little
		case ft.Kind == strip.Count && (ft.N > fewOff || ft.N < -fewOff):
		default:
			d.everywhere(g)
		}
	}
}

// fewOff is how far a count is thought to be off beside another fault.
const fewOff = 3

// likelyPlaces are the pixels of the likeliest explanations that have one, at
// most so many.
func (s *Session) likelyPlaces(most int) []int {
	w := s.belief.weights()
	var by []int
	for i := range w {
		if h := &s.belief.hyps[i]; w[i] > 1e-4 && h.family >= 0 && s.field.families[h.family].places {
			by = append(by, i)
		}
	}
	slices.SortStableFunc(by, func(a, b int) int { return cmp.Compare(w[b], w[a]) })
	var out []int
	for _, i := range by {
		if at := s.belief.hyps[i].place(); !slices.Contains(out, at) && len(out) < most {
			out = append(out, at)
		}
	}
	return out
}

// A doubter makes pairs and keeps those that fit the answers.
type doubter struct {
	s       *Session
	steps   []*step // that were answered
	look    []watcher
	prints  map[uint64]bool
	sent    *strip.Sent // noise
	numbers *strip.Sent // every pixel its own number
	light   strip.Light
	draft   strip.Draft
	most    int // misses allowed
	budget  int
	like    strip.Kind // pair only with faults that look alike; empty for all
}

func newDoubter(s *Session) *doubter {
	d := &doubter{s: s, prints: map[uint64]bool{}, sent: s.field.sound.Lay(s.field.noise()), budget: 12_000_000 / s.field.pixels}
	for i := range s.steps {
		if st := &s.steps[i]; st.given >= 0 {
			d.steps = append(d.steps, st)
		}
	}
	slices.Reverse(d.steps) // the last ones tell most
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
func (d *doubter) withGlobals(g int) {
	for _, o := range d.s.field.globals {
		if o < g {
			d.try(g, o)
		}
	}
}

// near pairs g with faults at the places that, under g, show what a sound prop
// shows at these pixels, and close to them.
func (d *doubter) near(g int, pixels []int) {
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
	at := 0
	d.light = f.hyps[g].strip.ShineInto(d.light, d.numbers)
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
func (d *doubter) together(pixels []int) {
	var at []int
	for i := range d.s.field.hyps {
		h := &d.s.field.hyps[i]
		if h.family >= 0 && !h.behind && h.twin == i && d.s.field.families[h.family].places && slices.Contains(pixels, h.place()) {
			at = append(at, i)
		}
	}
	for n, i := range at {
		for _, j := range at[:n] {
			if d.s.field.hyps[i].place() != d.s.field.hyps[j].place() {
				d.try(j, i)
			}
		}
	}
}

// places pairs g with every fault that sits at one of these pixels.
func (d *doubter) places(g int, at map[int]bool) {
	f := d.s.field
	pixels := slices.Sorted(maps.Keys(at))
	for k := range f.families {
		fam := &f.families[k]
		if !fam.places || fam.behind || !d.alike(fam) {
			continue
		}
		for _, p := range pixels {
			if i := f.at(fam, p); i < fam.to && f.hyps[i].place() == p && f.hyps[i].twin == i {
				d.try(g, i)
			}
		}
	}
}

// looks are kinds of faults at a place that may be taken for one another.
var looks = map[strip.Kind]int{
	strip.OpenJoint: 1, strip.DeadStop: 1, strip.RailLost: 1, strip.RunBackwards: 1,
	strip.DeadPixel: 2, strip.DeadChannel: 2, strip.WrongOrder: 3, strip.WrongChip: 3, strip.Flicker: 4,
}

// alike reports whether a family looks like what is about to stand.
func (d *doubter) alike(fam *family) bool {
	return looks[d.like] == 0 || looks[d.like] == looks[fam.kind]
}

// everywhere pairs g with every fault that has a place.
func (d *doubter) everywhere(g int) {
	for i := range d.s.field.hyps {
		h := &d.s.field.hyps[i]
		if h.family >= 0 && !h.behind && h.twin == i && d.s.field.families[h.family].places {
			d.try(g, i)
		}
	}
}

// try adds the pair of hypotheses g and i if it fits the answers and shows
// something no other does. A pair that was tried before with as many misses
// allowed was taken in or cannot fit: answers only add misses.
func (d *doubter) try(g, i int) {
	key := uint64(g)<<32 | uint64(i)
	if most, ok := d.s.tried[key]; ok && int(most) >= d.most {
		return
	}
	if d.budget--; d.budget < 0 {
		return
	}
	d.s.tried[key] = uint8(d.most)
	hyps := d.s.field.hyps
	faults := [...]strip.Fault{hyps[g].faults[0], hyps[i].faults[0]}
	if err := d.s.field.sound.Draft(&d.draft, faults[:]...); err != nil || !d.fits(&d.draft.Strip) {
		return
	}
	var p uint64
	p, d.light = d.s.field.print64(&d.draft.Strip, d.sent, d.light)
	if _, ok := d.s.field.prints[p]; ok || d.prints[p] {
		return
	}
	d.prints[p] = true
	st, err := d.s.field.sound.With(faults[:]...)
	if err != nil {
		return // cannot be: the draft was made
	}
	d.add(hypothesis{faults: st.Faults(), strip: st, family: hyps[i].family, with: g, print: p,
		chance: hyps[g].chance * hyps[i].chance / 100 * secondChance})
}

func (d *doubter) fits(st *strip.Strip) bool {
	misses := 0
	for k, step := range d.steps {
		if due := place(step.answers, d.look[k].sees(st)); due >= 0 && due != step.given {
			if misses++; misses > d.most {
				return false
			}
		}
	}
	return true
}

// add takes a pair in, with all answers weighed.
func (d *doubter) add(h hypothesis) {
	b := &d.s.belief
	i := len(b.hyps)
	h.twin, h.group = i, i
	b.hyps = append(b.hyps, h)
	b.log = append(b.log, math.Log(h.chance/100))
	b.misses = append(b.misses, 0)
	b.upto = append(b.upto, uint8(len(d.s.steps)))
	for k, st := range d.steps {
		b.weigh(i, st, d.look[k].sees(h.strip))
	}
}
