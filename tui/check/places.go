package check

import (
	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
)

// stillOpen marks where a fault may still sit.
func (m scene) stillOpen(width, height int) []string {
	s := &m.draw.open
	c := s.at(m, nil, width, height)
	if s.signs == nil || s.of != m.st.Session {
		s.signs, s.of = c.Signs(m.ranks(), m.signs()), m.st.Session
	}
	return s.signs
}

// What a place on the drawing is; the higher number is shown where two meet.
const (
	ruledOut uint8 = iota
	maybe
	likely
	dataStart
	askedOf
)

// signs are told apart without colour.
func (m scene) signs() []string {
	return []string{m.style.Quiet.Render("·"), "○", m.style.Warn.Render("●"),
		m.style.Accent.Render("◆"), m.style.Accent.Render("?")}
}

// ranks is what each pixel of the plan is.
func (m scene) ranks() []uint8 {
	out := make([]uint8, m.sub.Pixels())
	if m.pictures.open && m.st.Session != nil {
		m.rankOpen(out)
	}
	for _, sp := range m.pictures.marks {
		fill(out, sp, askedOf)
	}
	if len(out) > 0 && out[0] < dataStart {
		out[0] = dataStart
	}
	return out
}

// likelyFrom is the share from which on a place counts as likely.
const likelyFrom = 0.15

// rankOpen marks where a fault may still begin. An unlikely fault of a run as a
// whole would hide the places in it, so only likely ones are marked.
func (m scene) rankOpen(out []uint8) {
	o := m.st.open
	for i := range min(len(o.Pixels), len(o.Fits), len(out)) {
		switch {
		case o.Pixels[i] >= likelyFrom:
			out[i] = likely
		case o.Fits[i]:
			out[i] = maybe
		}
	}
	for r, share := range o.Run {
		if share < likelyFrom || r >= len(m.sub.Runs) {
			continue
		}
		first := m.sub.FirstPixel(r)
		fill(out, show.Span{First: first, Last: first + m.sub.Runs[r].Pixels - 1}, likely)
	}
}

func fill(out []uint8, sp show.Span, rank uint8) {
	for i := max(0, sp.First); i <= min(len(out)-1, sp.Last); i++ {
		out[i] = rank
	}
}

// whereFound marks the places of the likeliest finding.
func (m scene) whereFound(width, height int) []string {
	s := &m.draw.found
	c := s.at(m, nil, width, height)
	if s.signs == nil || s.of != m.st.Session {
		rank := make([]uint8, m.sub.Pixels())
		for i, f := range m.st.findings {
			markFinding(rank, m.sub, f, i == 0)
		}
		if len(rank) > 0 && rank[0] == ruledOut {
			rank[0] = dataStart
		}
		s.signs, s.of = c.Signs(rank, m.signs()), m.st.Session
	}
	return s.signs
}

// places marks where a test says that something is.
func (m scene) places(here, orHere []show.Span, width, height int) []string {
	s := &m.draw.found
	c := s.at(m, nil, width, height)
	if s.signs == nil {
		rank := make([]uint8, m.sub.Pixels())
		fillAll(rank, orHere, maybe)
		fillAll(rank, here, likely)
		if len(rank) > 0 && rank[0] == ruledOut {
			rank[0] = dataStart
		}
		s.signs = c.Signs(rank, m.signs())
	}
	return s.signs
}

func fillAll(rank []uint8, spans []show.Span, as uint8) {
	for _, sp := range spans {
		fill(rank, sp, as)
	}
}

// startCaption is part of every key of a drawing, foundCaption all of that of
// the findings.
const (
	startCaption = "◆ data starts"
	foundCaption = "● here  ○ or here  " + startCaption
)

// markFinding marks where the faults of a finding sit, of the likeliest one its
// first cause as the likeliest place.
func markFinding(rank []uint8, p *prop.Prop, f checkout.Finding, likeliest bool) {
	for i, c := range f.Causes {
		for _, ft := range c.Faults {
			markFault(rank, p, ft, likeliest && i == 0)
		}
	}
}

// markFault marks where a fault sits, as the likeliest place or one beside it.
// Faults of the whole prop have no place.
func markFault(rank []uint8, p *prop.Prop, ft strip.Fault, best bool) {
	for _, sp := range ft.Places(p) {
		for i := max(0, sp.First); i <= min(len(rank)-1, sp.Last); i++ {
			if best {
				rank[i] = likely
			} else {
				rank[i] = max(rank[i], maybe)
			}
		}
	}
}
