package checkout

import (
	"slices"
	"sort"

	"example.org/ringout/internal/strip"
)

// predictions holds the predicted answer of each hypothesis to one probe, worked
// out when asked for. Faults of one family at neighbouring places give the same
// answer as long as no edge of the picture lies between them, so only the first
// and the last of such a range are run; when they differ, all are. A test
// compares this with running every hypothesis.
type predictions struct {
	watcher *watcher
	edges   []int   // places at which the answer may change, ascending
	known   []Token // by hypothesis of the field: token + 1; 0 when not run yet
}

// of is the predicted answer under hypothesis i.
func (s *predictions) of(b *belief, f *field, spec *Spec, i int) Token {
	if s.watcher == nil {
		s.watcher, s.known, s.edges = new(watcher), make([]Token, len(f.hyps)), f.edges(spec)
		s.watcher.watch(f, spec)
	}
	h := &b.hyps[i]
	switch {
	case h.moreAfter:
		return f.beforeUnknown(spec.row(), h, spec, s.single(f, int(h.group)))
	case i < len(f.hyps):
		return s.single(f, i)
	}
	return s.watcher.expects(h)
}

// single is the predicted answer under a hypothesis of one fault.
func (s *predictions) single(f *field, i int) Token {
	if s.known[i] == 0 {
		if h := &f.hyps[i]; h.family >= 0 && f.families[h.family].inRanges(s.watcher.spec) {
			s.fillRange(f, &f.families[h.family], h.place())
		} else {
			s.compute(f, i)
		}
	}
	return s.known[i] - 1
}

func (s *predictions) compute(f *field, i int) Token {
	if s.known[i] == 0 {
		s.known[i] = s.watcher.expects(&f.hyps[i]) + 1
	}
	return s.known[i]
}

// fillRange finds the answers of all places of a family between the two edges
// around place.
func (s *predictions) fillRange(f *field, fam *family, place int) {
	at, exact := slices.BinarySearch(s.edges, place)
	if !exact {
		at--
	}
	step := fam.period()
	first, to := f.at(fam, s.edges[at]), f.at(fam, s.edges[at+1])
	first += (f.at(fam, place) - first) % step
	last := first + (to-1-first)/step*step
	same := s.compute(f, first) == s.compute(f, last)
	for i := first; i <= last; i += step {
		if same {
			s.known[i] = s.known[first]
		} else {
			s.compute(f, i)
		}
	}
}

// at is the first hypothesis of a family at or after a place.
func (f *field) at(fam *family, place int) int {
	return fam.from + sort.Search(fam.to-fam.from, func(i int) bool { return f.hyps[fam.from+i].place() >= place })
}

// inRanges reports whether neighbouring places of the family give the same
// answer. With chips of another slot count the pixels after the first odd one
// differ, so only questions about that one qualify, or a picture of one colour.
func (f *family) inRanges(s *Spec) bool {
	q := questions[s.Kind]
	return f.placed && (f.period() == 1 || q.inRanges)
}

// period is the distance in pixels of places that give the same answer. Chips of
// N slots start on the same colour slot as the planned chips every N pixels.
func (f *family) period() int {
	if f.facts.Scope == strip.ChipsFrom && f.faults[0].N > 0 {
		return f.faults[0].N
	}
	return 1
}

// alikeEdges appends the places at which a run stops matching its picture: those
// at slackFor from the ends of its stretches.
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
// slack pixels away from it.
func slackEdges(near []int, end int, slack int32) []int {
	near = append(near, end-1, end, end+1)
	for off := -1; off <= 2; off++ {
		near = append(near, end-int(slack)-off, end+int(slack)+off)
	}
	return near
}

// edges are the places at which the answers to a probe may change: the starts of
// stretches and runs, the pixel asked for, and fewPixels+1 from each of them.
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
