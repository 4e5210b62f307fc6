package traffic

import (
	"strings"

	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// View draws the page, or gives the one it drew before when nothing changed.
func (m Model) View(width, height int) string {
	p := m.page
	if p.version != m.version || p.width != width || p.height != height {
		p.version, p.width, p.height = m.version, width, height
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
		said := append(still, m.cut(m.wordLines(inner), m.top, height-len(still))...)
		return edged(append(said, m.largely(inner, height-len(said))...))
	case sources:
		still := m.stillLine()
		list := append(edged(still), m.listPage(width-edge, height-len(still))...)
		return append(list, edged(m.largely(inner, height-len(list)))...)
	case slots:
		l := m.look()
		page := m.slotPage(&l, inner, height, max(1, height/3))
		return edged(append(page, m.largely(inner, height-len(page))...))
	}
	if m.prop == nil {
		said := edged(append(m.stillLine(), m.cut(m.wordLines(inner), m.top, height/2)...))
		if len(m.rows) > 0 {
			return append(append(said, ""), m.table(width-edge, height-len(said)-1)...)
		}
		return append(said, edged(m.largely(inner, height-len(said)))...)
	}
	return edged(m.propPage(inner, height))
}

// largely is who lights the prop in large letters, where a page leaves room for it.
func (m Model) largely(width, rows int) []string {
	texts := m.FarView().Texts
	switch {
	case m.prop == nil && m.part != thing:
		return nil // nothing more to say than on the first view
	case m.prop == nil:
		texts = []string{"Nothing heard"}
	}
	lines := portrait.Words(m.style, width-edge, rows, texts...)
	for i := range lines {
		lines[i] = " " + lines[i]
	}
	return lines
}

// stillLine says so while the picture is held; no line while it is not.
func (m Model) stillLine() []string {
	if !m.held {
		return nil
	}
	return []string{" " + m.style.Warn.Render("HELD: space goes on")}
}

// edged puts lines that keep one cell free at the left edge of every page.
func edged(lines []string) []string {
	out := make([]string, len(lines))
	for i, l := range lines {
		out[i] = strings.Repeat(" ", edge-1) + l
	}
	return out
}

// listPage is the list with all that is known of the chosen row below.
func (m Model) listPage(width, height int) []string {
	var below []string
	if r := m.chosen(); r != nil {
		below = append([]string{""}, m.detailLines(r, width)...)
		below = m.cut(below, 0, height/2)
	}
	return append(m.table(width, height-len(below)), below...)
}

func (m Model) detailLines(r *row, width int) []string {
	lines := style.Wrap(m.details(r), width-3)
	for i := range lines {
		lines[i] = "  " + lines[i]
	}
	return lines
}

// slotPage is the caption, who drives as far as there is room for it, and the
// rows.
func (m Model) slotPage(l *look, width, height, legend int) []string {
	lines := []string{style.Cell(m.caption(l), width)}
	for _, s := range l.legend[:min(legend, len(l.legend))] {
		lines = append(lines, style.Cell(" "+s, width))
	}
	return append(lines, m.scrolled(m.gridLines(l, width), height-len(lines))...)
}

// scrolled keeps the first line, the ruler, and what fits below it.
func (m Model) scrolled(lines []string, height int) []string {
	if len(lines) <= 1 || height < 2 {
		return nil
	}
	return append(lines[:1:1], m.cut(lines[1:], m.top, height-1)...)
}
