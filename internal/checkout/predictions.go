package checkout

import (
	"slices"
	"sort"

	"example.org/ringout/internal/strip"
)

// predictions is what the hypotheses show in one probe. Faults of one family at
// neighbouring places look alike as long as no edge of the picture lies between
// them, so only the ends of such a row are run; when they differ, all are. A
// test compares this with running every hypothesis.
type predictions struct {
	look  *watcher
	edges []int   // places at which something may change, ascending
	known []Token // by hypothesis of the field, one more than the token; 0 is not run
}

// by is what hypothesis i shows.
func (s *predictions) by(b *belief, f *field, spec *Spec, i int) Token {
	if s.look == nil {
		s.look, s.known, s.edges = new(watcher), make([]Token, len(f.hyps)), f.edges(spec)
		s.look.watch(f, spec)
	}
	h := &b.hyps[i]
	switch {
	case h.behind:
		return f.pastOdd(spec.row(), h, spec, s.run(f, int(h.group)))
	case i < len(f.hyps):
		return s.run(f, i)
	}
	return s.look.expects(h)
}

// run is what a single hypothesis shows.
func (s *predictions) run(f *field, i int) Token {
	if s.known[i] == 0 {
		if h := &f.hyps[i]; h.family >= 0 && f.families[h.family].inRows(s.look.spec) {
			s.row(f, &f.families[h.family], h.place())
		} else {
			s.one(f, i)
		}
	}
	return s.known[i] - 1
}

func (s *predictions) one(f *field, i int) Token {
	if s.known[i] == 0 {
		s.known[i] = s.look.expects(&f.hyps[i]) + 1
	}
	return s.known[i]
}

// row runs the places of a family between two edges.
func (s *predictions) row(f *field, fam *family, place int) {
	at, exact := slices.BinarySearch(s.edges, place)
	if !exact {
		at--
	}
	step := fam.step()
	first, to := f.at(fam, s.edges[at]), f.at(fam, s.edges[at+1])
	first += (f.at(fam, place) - first) % step
	last := first + (to-1-first)/step*step
	same := s.one(f, first) == s.one(f, last)
	for i := first; i <= last; i += step {
		if same {
			s.known[i] = s.known[first]
		} else {
			s.one(f, i)
		}
	}
}

// at is the first hypothesis of a family at or after a place.
func (f *field) at(fam *family, place int) int {
	return fam.from + sort.Search(fam.to-fam.from, func(i int) bool { return f.hyps[fam.from+i].place() >= place })
}

// inRows reports whether neighbouring places of the family look alike in a
// probe. Of chips of another length only the way up to the first odd one does,
// or all of a picture of one colour.
func (f *family) inRows(s *Spec) bool {
	q := questions[s.Kind]
	return f.places && (f.step() == 1 || q.inARow)
}

// step is the distance of neighbours that look alike: chips of another length
// come round to the planned ones' slots after as many pixels as they take slots.
func (f *family) step() int {
	if f.facts.Scope == strip.ChipsFrom && f.faults[0].N > 0 {
		return f.faults[0].N
	}
	return 1
}

// alikeEdges appends where a picture of a run to compare with is no longer
// alike: so far from the ends of its stretches as their lengths may be off.
func (f *field) alikeEdges(near []int, run int, p Paint) []int {
	at := f.firsts[run]
	for i, st := range p {
		for _, n := range []Stretch{st, p[max(0, i-1)], p[min(len(p)-1, i+1)]} {
			near = slackEdges(near, at, slackFor(int32(n.Pixels)))
			near = slackEdges(near, at+st.Pixels, slackFor(int32(n.Pixels)))
		}
		at += st.Pixels
	}
	return near
}

// slackEdges appends the places around the end of a stretch, and around those
// that lie as far from it as a length may be off.
func slackEdges(near []int, end int, slack int32) []int {
	near = append(near, end-1, end, end+1)
	for off := -1; off <= 2; off++ {
		near = append(near, end-int(slack)-off, end+int(slack)+off)
	}
	return near
}

// edges are the places at which the answers to a probe may change: where the
// picture, a run or a pixel asked for begins, and where "a few" ends.
func (f *field) edges(spec *Spec) []int {
	n := f.pixels
	near := []int{0, 1, 2, 3, 4, n - 4, n - 3, n - 2, n - 1, n}
	add := func(at int) { near = append(near, at-4, at-1, at, at+1, at+4) }
	at := 0
	for _, st := range spec.Paint {
		add(at)
		at += st.Pixels
	}
	for _, first := range f.firsts {
		add(first)
	}
	for i := 1; i < len(f.dark); i++ {
		if f.dark[i] != f.dark[i-1] {
			add(i)
		}
	}
	for r, run := range spec.Expected {
		near = f.alikeEdges(near, r, run)
	}
	if spec.row().onePixel {
		at = f.firsts[spec.Run] + spec.Pixel
		if spec.Pixel < 0 {
			at += f.sizes[spec.Run]
		}
		add(at)
	}
	near = slices.DeleteFunc(near, func(e int) bool { return e < 0 || e > n })
	slices.Sort(near)
	return slices.Compact(near)
}
