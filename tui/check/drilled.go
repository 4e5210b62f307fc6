package check

import (
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/style"
)

// drilledView is what the drill came to, with the place on the drawing beside
// it or, on a narrow page, instead of it.
func (m Model) drilledView(width, height int) []string {
	foot := m.foot(width)
	height -= len(foot)
	side := m.drilledSide(width, height)
	if side == 0 && m.marked() && m.turn%2 == 1 && height > 1 {
		page := append([]string{style.Cell(m.style.Quiet.Render(foundCaption), width)}, m.whereDrilled(width, height-1)...)
		return append(page, foot...)
	}
	text := width
	if side > 0 {
		text = width - side - 2
	}
	page := m.scrolled(m.drilledText(text), text, height)
	if side > 0 {
		draw := append([]string{m.style.Quiet.Render(foundCaption)}, m.whereDrilled(side, height-1)...)
		for i := range min(len(page), len(draw)) {
			page[i] += "  " + draw[i]
		}
	}
	return append(page, foot...)
}

// drilledSide is the width of the drawing beside the text; 0 for none.
func (m Model) drilledSide(width, height int) int {
	if !m.marked() || height < 5 {
		return 0
	}
	_, side := m.findingRoom(width, height)
	return side
}

// marked reports whether there is a place to show.
func (m Model) marked() bool {
	return m.sub != nil && !m.busy && len(m.drilled.here)+len(m.drilled.orIn) > 0
}

// drilledText is all that is said of it.
func (m Model) drilledText(width int) []string {
	t := &teller{m: m, width: width}
	t.lines = append(t.lines, "")
	if m.busy {
		t.say(2, "Working it out.", plain)
		return t.lines
	}
	t.say(2, m.drilled.title, m.style.Accent.Render)
	t.lines = append(t.lines, "")
	for _, l := range m.drilled.lines {
		t.say(2, l, plain)
	}
	if m.note != "" {
		t.lines = append(t.lines, "")
		t.say(2, m.note, m.style.Strong.Render)
	}
	return t.lines
}

// whereDrilled marks the places on the prop.
func (m Model) whereDrilled(width, height int) []string {
	s := &m.draw.found
	c := s.at(m, m.sub, nil, width, height)
	if s.signs == nil {
		rank := make([]uint8, m.sub.Pixels())
		fillAll(rank, m.drilled.orIn, maybe)
		fillAll(rank, m.drilled.here, likely)
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
