package check

import (
	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// drilledView is what the drill came to, with the place on the drawing.
func (m Model) drilledView(width, height int) []string {
	return m.placed(m.drilledText, width, height)
}

// placed is text with the places it is about on the drawing beside it or, on a
// narrow page and with v, instead of it; at the foot stands the record.
func (m Model) placed(text func(width, height int) []string, width, height int) []string {
	foot := m.foot(width)
	height -= len(foot)
	side := m.placedSide(width, height)
	if side == 0 && m.marked() && m.turn%2 == 1 && height > 1 {
		page := append([]string{style.Cell(m.style.Quiet.Render(m.placesCaption()), width)}, m.places(width, height-1)...)
		return append(page, foot...)
	}
	if side == 0 {
		return append(m.scrolled(text(width, height), width, height), foot...)
	}
	room := width - side - 2
	page := m.scrolled(text(room, height), room, height)
	draw := append([]string{m.style.Quiet.Render(m.placesCaption())}, m.places(side, height-1)...)
	for i := range min(len(page), len(draw)) {
		page[i] = style.Cell(page[i], room) + "  " + style.Cell(draw[i], side)
	}
	return append(page, foot...)
}

// placedSide is the width of the drawing beside the text; 0 for none.
func (m Model) placedSide(width, height int) int {
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

// placesCaption is the key of the drawing.
func (m Model) placesCaption() string {
	switch {
	case len(m.drilled.orIn) == 0:
		return "● here  ◆ data starts"
	case len(m.drilled.here) == 0:
		return "○ may be here  ◆ data starts"
	}
	return foundCaption
}

// places marks them on the prop.
func (m Model) places(width, height int) []string {
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

// drillSecret is what was put into the demo's prop and whether this test has
// found it; empty when it is not to be told yet.
func (m Model) drillSecret() (put, verdict string) {
	r := m.drilled
	switch {
	case !m.demo || !m.opt.Faulty || m.busy:
		return "", ""
	case r.fit != nil && r.fit.Verdict != power.FitTooFew:
		return metered(m.prop, *r.fit, m.opt.Hidden)
	case r.bent:
		return bent(m.prop, r.here, m.opt.Hidden)
	case r.slots:
		return slotted(m.prop, r.entry, m.opt.Hidden)
	}
	return "", ""
}

// drilledText is all that is said of it.
func (m Model) drilledText(width, height int) []string {
	t := &teller{m: m, width: width}
	t.lines = append(t.lines, "")
	if m.busy {
		t.say(2, "Working it out.", plain)
		return t.lines
	}
	if large := digits.Words(m.drilled.title); roomy(width+50, height) && ansi.StringWidth(large[0])+3 < width {
		for _, l := range large {
			t.lines = append(t.lines, "  "+m.style.Strong.Render(l))
		}
	} else {
		t.say(2, m.drilled.title, m.style.Accent.Render)
	}
	t.lines = append(t.lines, "")
	for _, l := range m.drilled.lines {
		t.hang(l.number, 2, l.text, plain)
	}
	if put, verdict := m.drillSecret(); put != "" {
		t.head("The demo's secret")
		t.say(2, put, plain)
		if verdict != "" {
			t.say(2, verdict, m.style.Strong.Render)
		}
	}
	if m.note != "" {
		t.lines = append(t.lines, "")
		t.say(2, m.note, m.style.Strong.Render)
	}
	return t.lines
}
