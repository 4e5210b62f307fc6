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
		p.version, p.width, p.height, p.more = m.version, width, height, 0
		p.text = style.Fit(strings.Join(m.chosenPage(width, height), "\n"), width, height)
	}
	return p.text
}

// edge is the left edge of the page, and what stays free at its right.
const edge = 2

func (m Model) chosenPage(width, height int) []string {
	inner := width - 2*edge + 1 // they keep one free themselves
	switch m.part {
	case sentences:
		still := m.stillLine()
		said := append(still, m.cut(m.spaced(inner, height-len(still)), m.top, height-len(still))...)
		return style.Indent(append(said, m.filled(inner, height-len(said))...), edge-1)
	case sources:
		still := m.stillLine()
		if m.wide {
			still = append(still, " Listening to all that is announced: a goes back to yours.", "")
		}
		list := append(style.Indent(still, edge-1), m.listLines(width-edge, height-len(still))...)
		return append(list, style.Indent(m.filled(inner, height-len(list)), edge-1)...)
	case slots:
		l := m.look()
		page := m.stillLine()
		if m.prop != nil && height >= roomyRows { // the figures are of the prop too
			page = append(m.headline(inner, height), "")
		}
		page = append(page, m.slotPage(&l, inner, height-len(page))...)
		return style.Indent(append(page, m.filled(inner, height-len(page))...), edge-1)
	}
	if m.prop == nil {
		return m.bareView(width, inner, height)
	}
	return style.Indent(m.propPage(inner, height), edge-1)
}

// bareView is the first view while there is no prop: what is heard, or what to do.
func (m Model) bareView(width, inner, height int) []string {
	said := style.Indent(append(m.stillLine(), m.cut(m.wordLines(inner), m.top, height/2)...), edge-1)
	if len(m.rows) > 0 {
		return append(append(said, ""), m.listLines(width-edge, height-len(said)-1)...)
	}
	return append(said, style.Indent(m.filled(inner, height-len(said)), edge-1)...)
}

// filled is who lights the prop in letters as large as what a page leaves free allows.
func (m Model) filled(width, rows int) []string {
	texts := m.FarView().Texts
	switch {
	case m.prop == nil && m.part != thing:
		return nil // nothing more to say than on the first view
	case m.prop == nil:
		out := portrait.Words(m.style, width-edge, rows, "No prop yet")
		return indent(append(out, portrait.Words(m.style, width-edge, rows-len(out), "S: fill in Set-up")...))
	}
	return indent(portrait.Block(m.largeStyle(), width-edge, rows, texts...))
}

// largely is the first of texts in large letters on one line, an empty row before it; nil
// where there is no room.
func (m Model) largely(width, rows int, texts ...string) []string {
	return indent(portrait.Words(m.largeStyle(), width-edge, rows, texts...))
}

// largeStyle is the style of the large words: a warning while others light the prop, or
// what we send does not reach it. Without colours that would be reversed, and the letters
// holes.
func (m Model) largeStyle() style.Styles {
	st := m.style
	if m.alarming() && st.Depth != style.Letters {
		st.Strong = st.Warn
	}
	return st
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

// stillLine says so while the picture is held; no line while it is not.
func (m Model) stillLine() []string {
	if !m.held {
		return nil
	}
	return []string{" " + m.style.Warn.Render("HELD: space goes on")}
}
