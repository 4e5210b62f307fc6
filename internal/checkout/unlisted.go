package checkout

import (
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// An unlistedFault changes the light of some pixels of a sound prop, whether or
// not a listed fault does the same: all channels lost, one lost or stuck, or
// channels exchanged; at the place of the likeliest fault, in its run, or from it
// on. As long as it fits the answers as well as the listed fault, only the list
// speaks for the latter, so another look is worth while.
type unlistedFault struct {
	from, to int // pixels of the plan, both included
	change   func(patterns.Colour) patterns.Colour
}

// unlistedFaults are all unlisted faults at the places of a hypothesis.
func (f *field) unlistedFaults(h *hypothesis) []unlistedFault {
	var out []unlistedFault
	changes := unlistedChanges(f.prop.Chip.Order)
	for _, at := range f.unlistedPlaces(h) {
		for _, c := range changes {
			out = append(out, unlistedFault{at.First, at.Last, c})
		}
	}
	return out
}

// unlistedPlaces are the spans of unlisted faults: the first pixel of each fault
// of h, its run, from either to the end of the run or of the prop, and the whole
// prop.
func (f *field) unlistedPlaces(h *hypothesis) []prop.Span {
	var out []prop.Span
	add := func(first, last int) {
		if at := (prop.Span{First: first, Last: last}); !slices.Contains(out, at) {
			out = append(out, at)
		}
	}
	end := f.pixels - 1
	for _, at := range f.pixelsOf(h.faults) {
		run, _ := f.prop.Find(at.First)
		first := f.firsts[run]
		last := first + f.sizes[run] - 1
		add(at.First, at.First)
		add(first, last)
		add(at.First, last)
		add(at.First, end)
		add(first, end)
	}
	add(0, end)
	return out
}

// unlistedChanges are the changes of a pixel's colour: dark, each channel at 0
// or 255, and channels exchanged.
func unlistedChanges(order prop.Order) []func(patterns.Colour) patterns.Colour {
	chs := order.Channels()
	out := []func(patterns.Colour) patterns.Colour{func(patterns.Colour) patterns.Colour { return patterns.Colour{} }}
	for _, ch := range chs {
		out = append(out, func(c patterns.Colour) patterns.Colour { return c.With(ch, 0) },
			func(c patterns.Colour) patterns.Colour { return c.With(ch, 255) })
	}
	for _, o := range exchanges(chs) {
		out = append(out, func(c patterns.Colour) patterns.Colour {
			n := c
			for i, ch := range o {
				n = n.With(ch, c.Get(chs[i]))
			}
			return n
		})
	}
	return out
}

// mostExchanged is the largest number of channels for which all permutations are
// tried; with more channels only swaps of two.
const mostExchanged = 4

// exchanges are the permutations of channels, without the one given.
func exchanges(chs []patterns.Channel) [][]patterns.Channel {
	var out [][]patterns.Channel
	var grow func(at int, o []patterns.Channel)
	grow = func(at int, o []patterns.Channel) {
		if at == len(o) {
			if !slices.Equal(o, chs) && (len(o) <= mostExchanged || differ(o, chs) == 2) {
				out = append(out, slices.Clone(o))
			}
			return
		}
		for i := at; i < len(o); i++ {
			o[at], o[i] = o[i], o[at]
			grow(at+1, o)
			o[at], o[i] = o[i], o[at]
		}
	}
	grow(0, slices.Clone(chs))
	return out
}

// differ is the number of places at which two orders differ.
func differ(a, b []patterns.Channel) (n int) {
	for i := range a {
		if a[i] != b[i] {
			n++
		}
	}
	return n
}

// An unlistedView reads the light of unlisted faults in one probe.
type unlistedView struct {
	w     watcher
	sound strip.Pieces
}

// watch prepares the view for a probe.
func (v *unlistedView) watch(f *field, s *Spec) {
	v.w.watch(f, s)
	f.sound.PiecesInto(&v.sound, v.w.sent)
}

// sees is the predicted answer under an unlisted fault.
func (v *unlistedView) sees(g *unlistedFault) Token {
	w := &v.w
	g.light(&w.light, &v.sound)
	w.look.of(&w.light, w.field.hidden)
	w.see = sight{light: &w.light, look: &w.look, wanted: &w.wanted, hidden: w.field.hidden}
	return w.row.read(w.spec, &w.see)
}

// light makes the light of the fault from that of a sound prop.
func (g *unlistedFault) light(dst, sound *strip.Pieces) {
	dst.Runs = slices.Grow(dst.Runs[:0], len(sound.Runs))[:len(sound.Runs)]
	at := 0
	for r, run := range sound.Runs {
		row := dst.Runs[r][:0]
		for _, pc := range run {
			row = g.piece(row, pc, at)
			at += pc.Lights
		}
		dst.Runs[r] = row
	}
}

// piece appends a piece that begins at pixel at of the plan, changed within the
// span of the fault.
func (g *unlistedFault) piece(row []strip.Piece, pc strip.Piece, at int) []strip.Piece {
	before := min(pc.Lights, max(0, g.from-at))
	inside := min(pc.Lights, max(0, g.to+1-at)) - before
	add := func(c patterns.Colour, n int) {
		if n > 0 {
			row = append(row, strip.Piece{Colour: c, Lights: n})
		}
	}
	add(pc.Colour, before)
	if inside > 0 {
		add(g.change(pc.Colour), inside)
		before += inside
	}
	add(pc.Colour, pc.Lights-before)
	return row
}

// fitting are the unlisted faults that at most most answers contradict.
func (s *Session) fitting(h *hypothesis, most int) []unlistedFault {
	all := s.field.unlistedFaults(h)
	wrong := make([]int, len(all))
	var v unlistedView
	for k := range s.steps {
		st := &s.steps[k]
		if st.given < 0 || st.overruled {
			continue
		}
		v.watch(s.field, &st.spec)
		for i := range all {
			if wrong[i] <= most && answerIndex(st.answers, v.sees(&all[i])) != st.given {
				wrong[i]++
			}
		}
	}
	var out []unlistedFault
	for i := range all {
		if wrong[i] <= most {
			out = append(out, all[i])
		}
	}
	return out
}
