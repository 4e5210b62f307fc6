package checkout

import "example.org/ringout/internal/strip"

// A stretch is a row of neighbouring pixels with one colour name.
type stretch struct {
	name Name
	n    int32
}

// A look is light in colour names: stretches by run, each run from the end where
// the plan says data enters.
type look struct {
	all   []stretch
	runAt []int // index in all of each run's first stretch, and the end
}

// of reads the visible pixels of a light into the memory of l.
func (l *look) of(light *strip.Pieces, h maskedPlaces) {
	l.all, l.runAt = l.all[:0], l.runAt[:0]
	for r, run := range light.Runs {
		first := len(l.all)
		l.runAt = append(l.runAt, first)
		if h == nil { // most props: nothing is hidden
			for _, pc := range run {
				l.add(pc, first)
			}
			continue
		}
		h.each(r, run, func(pc strip.Piece) { l.add(pc, first) })
	}
	l.runAt = append(l.runAt, len(l.all))
}

// ofPaint reads a picture of every run.
func (l *look) ofPaint(runs []Paint) {
	l.all, l.runAt = l.all[:0], l.runAt[:0]
	for _, run := range runs {
		l.runAt = append(l.runAt, len(l.all))
		for _, st := range run {
			l.all = append(l.all, stretch{st.Colour.name(), int32(st.Pixels)})
		}
	}
	l.runAt = append(l.runAt, len(l.all))
}

// paint is the look as a picture of every run.
func (l *look) paint() []Paint {
	out := make([]Paint, len(l.runAt)-1)
	for r := range out {
		for _, st := range l.run(r) {
			out[r] = append(out[r], Stretch{st.name.hue(), int(st.n)})
		}
	}
	return out
}

// add adds a piece to the run that begins at first.
func (l *look) add(pc strip.Piece, first int) {
	name := NameOf(pc.Colour)
	if n := len(l.all); n > first && l.all[n-1].name == name {
		l.all[n-1].n += int32(pc.Lights)
	} else {
		l.all = append(l.all, stretch{name, int32(pc.Lights)})
	}
}

// run returns the stretches of run i; nil when there is no such run.
func (l *look) run(i int) []stretch {
	if i < 0 || i+1 >= len(l.runAt) {
		return nil
	}
	return l.all[l.runAt[i]:l.runAt[i+1]]
}

// nameAt is the name of a pixel of a run; -1 is the run's last one, -2 the one
// before it. A pixel the run does not have is dark.
func nameAt(run []strip.Piece, pixel int) Name {
	if pixel < 0 {
		for _, pc := range run {
			pixel += pc.Lights
		}
	}
	for _, pc := range run {
		if pixel >= 0 && pixel < pc.Lights {
			return NameOf(pc.Colour)
		}
		pixel -= pc.Lights
	}
	return Dark
}

// counts is the number of pixels of each name.
func (l *look) counts() (by [8]int, all int) {
	for _, s := range l.all {
		by[s.name] += int(s.n)
		all += int(s.n)
	}
	return by, all
}

// equal reports whether two looks are the same.
func (l *look) equal(m *look) bool {
	if len(l.all) != len(m.all) || len(l.runAt) != len(m.runAt) {
		return false
	}
	for i := range l.all {
		if l.all[i] != m.all[i] {
			return false
		}
	}
	for i := range l.runAt {
		if l.runAt[i] != m.runAt[i] {
			return false
		}
	}
	return true
}
