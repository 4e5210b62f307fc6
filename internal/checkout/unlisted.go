package checkout

import (
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// An unlistedFault is the light of a sound prop with some pixels changed, whether any
// fault of the list does that or not: a channel lost or stuck, all lost, or the
// channels exchanged, at the place of the fault that is thought of, in its run,
// or from it on. Where no look so far spoke against one, the answers that fit the
// fault of the list fit it as well, and being in the list is all that the other
// has before it.
type unlistedFault struct {
	from, to int // pixels of the plan, both included
	change   func(patterns.Colour) patterns.Colour
}

// unlistedFaults are those near the faults of a hypothesis.
func (f *field) unlistedFaults(h *hypothesis) []unlistedFault {
	var out []unlistedFault
	changes := strangeChanges(f.prop.Chip.Order)
	for _, at := range f.strangePlaces(h) {
		for _, c := range changes {
			out = append(out, unlistedFault{at.First, at.Last, c})
		}
	}
	return out
}

// strangePlaces are where faults outside the list differ from a sound prop: the first pixel
// of a fault, its run, both from there to the end, and the whole prop.
func (f *field) strangePlaces(h *hypothesis) []prop.Span {
	var out []prop.Span
	add := func(first, last int) {
		if at := (prop.Span{First: first, Last: last}); !slices.Contains(out, at) {
			out = append(out, at)
		}
	}
	end := f.pixels - 1
	for _, at := range f.concerned(h.faults) {
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

// strangeChanges are what is done to the colour of a pixel whose chips have an
// order.
func strangeChanges(order prop.Order) []func(patterns.Colour) patterns.Colour {
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

// mostExchanged is how many channels are exchanged in every way; of more, two
// at a time.
const mostExchanged = 4

// exchanges are the orders of channels but the one given.
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

// differ is how many places of two orders differ.
func differ(a, b []patterns.Channel) (n int) {
	for i := range a {
		if a[i] != b[i] {
			n++
		}
	}
	return n
}

// An unlistedView shows the light of unlisted faults in one probe.
type unlistedView struct {
	w     watcher
	sound strip.Pieces
}

// watch makes a probe ready.
func (v *unlistedView) watch(f *field, s *Spec) {
	v.w.watch(f, s)
	f.sound.PiecesInto(&v.sound, v.w.sent)
}

// sees is what a person answers who sees an unlisted fault.
func (v *unlistedView) sees(g *unlistedFault) Token {
	w := &v.w
	g.light(&w.light, &v.sound)
	w.look.of(&w.light, w.field.hidden)
	w.see = sight{light: &w.light, look: &w.look, wanted: &w.wanted, hidden: w.field.hidden}
	return w.row.read(w.spec, &w.see)
}

// light turns the light of a sound prop into that of the fault.
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

// piece appends a piece that begins at a pixel of the plan, changed where the
// fault is.
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

// fitting are the faults outside the list that contradict no more answers than
// the hypothesis does.
func (s *Session) fitting(h *hypothesis, misses int) []unlistedFault {
	all := s.field.unlistedFaults(h)
	missed := make([]int, len(all))
	var v unlistedView
	for k := range s.steps {
		st := &s.steps[k]
		if st.given < 0 || st.overruled {
			continue
		}
		v.watch(s.field, &st.spec)
		for i := range all {
			if missed[i] <= misses && place(st.answers, v.sees(&all[i])) != st.given {
				missed[i]++
			}
		}
	}
	var out []unlistedFault
	for i := range all {
		if missed[i] <= misses {
			out = append(out, all[i])
		}
	}
	return out
}
