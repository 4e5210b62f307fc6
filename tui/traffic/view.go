package traffic

import (
	"strings"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// View draws the page, or gives the one it drew before when nothing changed.
func (m Model) View(width, height int) string {
	p := m.page
	if p.version != m.version || p.width != width || p.height != height {
		p.version, p.width, p.height, p.more, p.order = m.version, width, height, 0, ""
		p.text = style.Fit(strings.Join(m.chosenPage(width, height), "\n"), width, height)
	}
	return p.text
}

// edge is the left edge of the page, and what stays free at its right.
const edge = 2

func (m Model) chosenPage(width, height int) []string {
	inner := width - 2*edge + 1 // they keep one free themselves
	if m.prop == nil && m.part == thing {
		return m.bareView(width, inner, height)
	}
	head := m.head(inner, height)
	rows := height - len(head)
	head = style.Indent(head, edge-1)
	switch m.part {
	case sources: // its lines begin in the margin, where the sign of the chosen one stands
		return append(head, m.sourcesPage(width-edge, rows)...)
	case sentences:
		return append(head, style.Indent(m.sentencesPage(inner, rows), edge-1)...)
	case slots:
		l := m.look()
		return append(head, style.Indent(m.slotPage(&l, inner, rows), edge-1)...)
	}
	return append(head, style.Indent(m.propPage(inner, height, rows), edge-1)...)
}

// head is the same above every view: who lights the prop in large letters, what is out of
// the ordinary about the page, and an empty row.
func (m Model) head(width, height int) []string {
	var out []string
	if m.prop != nil {
		out = m.headline(width, height)
	}
	out = append(out, m.notes()...)
	if len(out) > 0 {
		out = append(out, "")
	}
	return out
}

// notes say that the picture is held, and that universes of others are listened to.
func (m Model) notes() (out []string) {
	if m.held {
		out = append(out, " "+m.style.Warn.Render("HELD: space goes on"))
	}
	if m.wide {
		out = append(out, " Listening to all that is announced: a ends it.")
	}
	return out
}

// bareView is the first view while there is no prop: what is heard, or what to do.
func (m Model) bareView(width, inner, height int) []string {
	said := style.Indent(append(m.notes(), m.cut(m.wordLines(inner), m.top, height/2)...), edge-1)
	if len(m.rows) > 0 {
		return append(append(said, ""), m.listLines(width-edge, height-len(said)-1)...)
	}
	return append(said, style.Indent(portrait.NoPropWords(m.style, width-2*edge, height-len(said)), edge)...)
}

// largely is the first of texts in large letters on one line, an empty row before it; nil
// where there is no room.
func (m Model) largely(width, rows int, texts ...string) []string {
	return indent(portrait.Head(m.style.ForLarge(m.alarming()), width-edge, rows, texts...))
}

// alarming reports whether some pixel is not lit by us alone.
func (m Model) alarming() bool {
	l := m.light
	for _, p := range l.Pixels {
		if p.From != traffic.You && p.From != traffic.No {
			return true
		}
	}
	return len(l.Pixels) > 0 && m.unreached()
}
