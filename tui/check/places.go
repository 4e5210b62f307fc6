package check

import (
	"slices"

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
	askedOf
	walkedTo
	sound
)

// signs are told apart without colour.
func (m scene) signs() []string {
	asked := m.style.Accent.Filled() // a filled cell is found from two metres
	return []string{otherSign, "○", m.style.Warn.Render("●"), asked.Render("?"), m.style.Accent.Render("+"), m.style.Good.Render(soundSign)}
}

// soundSign is a pixel that lights as it should, in a drawing of findings.
const soundSign = "■"

// ranks is what each pixel of the plan is.
func (m scene) ranks() []uint8 {
	out := make([]uint8, m.sub.Pixels())
	if m.pictures.open && m.st.Session != nil {
		m.rankOpen(out)
	}
	for _, sp := range m.pictures.marks {
		fill(out, sp, askedOf)
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

// foundKey is the key of a drawing of findings.
func foundKey(rank []uint8) string {
	if !slices.ContainsFunc(rank, func(r uint8) bool { return r != sound }) {
		return soundSign + " sound"
	}
	if !slices.Contains(rank, likely) {
		return keyOf(rank, "", "○ may be here")
	}
	return keyOf(rank, "● here", "○ or here")
}

// foundRanks is what each pixel is to the findings: those of the likeliest one stand
// out, with the last sound pixel before it. Where the text lists kinds of fault and not
// findings, all their places are marked.
func (m scene) foundRanks() []uint8 {
	rank := make([]uint8, m.sub.Pixels())
	f := m.st.findings
	switch {
	case len(f) > 0 && f[0].Good && f[0].Sure.Firm():
		fill(rank, show.Span{First: 0, Last: len(rank) - 1}, sound)
		return rank
	case m.st.listsKinds():
		m.rankOpen(rank)
		return rank
	}
	for i := range f {
		markFinding(rank, m.sub, f[i], i == 0)
	}
	if at := m.st.points; at != nil && at.Sound >= 0 && rank[at.Sound] < likely {
		rank[at.Sound] = sound
	}
	return rank
}

// whereFound marks the places of the likeliest finding, by what each pixel is to it.
func (m scene) whereFound(rank []uint8, width, height int) []string {
	s := &m.draw.found
	c := s.at(m, nil, width, height)
	if s.signs == nil || !slices.Equal(s.rank, rank) {
		s.signs, s.rank = c.Signs(rank, m.signs()), rank
	}
	return s.signs
}

// placeRanks is what each pixel is to a test.
func (m scene) placeRanks(here, orHere []show.Span) []uint8 {
	rank := make([]uint8, m.sub.Pixels())
	fillAll(rank, orHere, maybe)
	fillAll(rank, here, likely)
	return rank
}

// places marks where a test says that something is.
func (m scene) places(here, orHere []show.Span, width, height int) []string {
	s := &m.draw.found
	c := s.at(m, nil, width, height)
	if s.signs == nil {
		s.signs = c.Signs(m.placeRanks(here, orHere), m.signs())
	}
	return s.signs
}

func fillAll(rank []uint8, spans []show.Span, as uint8) {
	for _, sp := range spans {
		fill(rank, sp, as)
	}
}

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
