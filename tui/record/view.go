package record

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// edge is the number of free columns at the left and at the right of the page.
const edge = 2

// Heights of pages, in rows: from the first on there is room for large letters, from
// the others for more of what is due.
const (
	largeHeight = 14
	airyHeight  = 18
	roomyHeight = 20
)

// View draws the page: its head over the whole width, its text below, and at the right of that the prop, in
// one place and one size on all pages.
func (m Model) View(width, height int) string {
	if m.prop == nil && m.note == "" && m.typing == nil {
		return style.Fit(strings.Join(portrait.NoPropPage(m.style, width, height, "This page keeps what was checked on a prop, with your notes."), "\n"), width, height)
	}
	m.size.Width, m.size.Height = width, height
	left, right := m.columns()
	head := style.Indent(m.head(width-2*edge), edge)
	lines := append(slices.Clone(head), m.text(left)...)
	if right > 0 {
		at := m.pictureTop()
		for len(lines) < at {
			lines = append(lines, "")
		}
		lines = append(lines[:at:at], style.Beside(lines[at:], m.picture(right, height-at), edge+left+portrait.Gap)...)
	}
	return style.Fit(strings.Join(lines, "\n"), width, height)
}

// text is all that stands below the head of a page: what is typed or due, the visible part of the body, and
// the answer to the last key in the last rows.
func (m Model) text(width int) []string {
	rows := m.rows()
	out := m.list(width, rows)
	if !m.listing() {
		all := m.body(width)
		out = style.Indent(more(m.style, all[min(m.top(), len(all)):], rows, " below", m.offered("pgdn")), edge)
	}
	out = append(out, make([]string, max(0, rows-len(out)))...)
	return slices.Concat(style.Indent(m.above(width), edge), out, style.Indent(m.foot(width), edge))
}

// more is as many lines as fit; the last names the number of the others and the key that
// shows them.
func more(st style.Styles, lines []string, rows int, where, key string) []string {
	out, left := style.Cut(lines, rows)
	if left > 0 {
		out = append(out, st.More(fmt.Sprintf("… %d more%s", left, where), key))
	}
	return out
}

// list is the list and the chosen entry below it. Its lines begin in the margin, where the sign of the
// chosen one stands.
func (m Model) list(width, rows int) []string {
	const enough, ample = 3, 8 // with fewer lines the entry is left out, or in short
	out := m.listRows(width+edge, rows)
	free := rows - len(out) - 1
	if free < enough {
		return out
	}
	entry := m.content(width)
	if len(entry) > free && free < ample {
		entry = m.inShort(width)
	}
	return append(append(out, ""), style.Indent(more(m.style, entry, free, "", m.wholeKey()), edge)...)
}

// wholeKey opens the chosen entry.
func (m Model) wholeKey() string { return m.offered("enter") }

// offered is a key that a page offers: none while keys type a line, or answer the bench.
func (m Model) offered(name string) string {
	if m.typing != nil || m.asking {
		return ""
	}
	return name
}

// listRows are the visible entries, since a record may have thousands.
func (m Model) listRows(width, rows int) (out []string) {
	n, from := len(m.history.Entries), m.top()
	for row := from; row < min(n, from+rows); row++ {
		i := n - 1 - row // the newest is on top
		out = append(out, m.listLine(i, m.history.Entries[i], width))
	}
	if left := n - from - rows; left > 0 {
		out[rows-1] = strings.Repeat(" ", edge) + m.style.More(fmt.Sprintf("… %d more below", left+1), m.offered("↓"))
	}
	return out
}

// rows is the number of visible lines of the body.
func (m Model) rows() int {
	left, _ := m.columns()
	return max(1, m.size.Height-len(m.head(m.size.Width-2*edge))-len(m.above(left))-len(m.foot(left)))
}

// top is the first line of the body that is shown.
func (m Model) top() int {
	if !m.listing() {
		return max(0, min(m.scroll, m.scrollMost()))
	}
	n, rows := len(m.history.Entries), m.rows()
	row := n - 1 - m.at // the newest is on top
	if row < rows-1 || n <= rows {
		return 0
	}
	return min(row-rows+2, n-rows)
}

// scrollMost is the largest scroll of a page that is no list.
func (m Model) scrollMost() int {
	if m.prop == nil {
		return 0
	}
	left, _ := m.columns()
	return max(0, len(m.body(left))-m.rows())
}

// foot is the note on the last key, and the notes to be written.
func (m Model) foot(width int) []string {
	var out []string
	if m.note != "" {
		l := plainLabel("")
		if m.bad {
			l = warning("!")
		}
		out = append(out, m.labelled(l, m.note, width)...)
	}
	if m.held != "" {
		out = append(out, m.labelled(warning("WAITING"), "for "+style.Clean(m.held)+", which another program holds: the note is recorded once that lets go.", width)...)
	}
	if m.typing == nil && len(m.pending) > 0 {
		out = append(out, m.labelled(warning("NOT RECORDED:"), strings.TrimSuffix(strings.TrimPrefix(m.why, "not recorded: "), ".")+
			". Press w to record the note elsewhere; it is kept until you leave.", width)...)
	}
	if len(out) > 0 {
		out = append([]string{""}, out...)
	}
	return out
}
