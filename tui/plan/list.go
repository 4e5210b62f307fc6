package plan

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// labelWidth is the longest name of the figures that are shown.
func (m Model) labelWidth() (w int) {
	if m.leftWidth() >= 40 {
		w = 11 // two columns before the value
	}
	for _, l := range m.lines {
		if l.head == "" && !l.empty() {
			w = max(w, style.Width(l.fig.label()))
		}
	}
	return w
}

// left is the file's name, the list of figures and the foot.
func (m Model) left() []string {
	w := m.leftWidth()
	out := append(m.formHead(), m.fileLine(w))
	out = append(out, style.WithoutEnd(m.listing(w))...) // rows that are free are at the foot of the page
	return append(out, m.foot(w)...)
}

// leastForm is the height of a narrow page of figures from which it has large words.
const leastForm = 15

// formLarge are the large words above the figures of a narrow page.
func (m Model) formLarge() []string {
	if m.layout() != narrow || m.size.Height < leastForm {
		return nil
	}
	return m.large(m.leftWidth())
}

// formHead is formLarge with an empty row below it.
func (m Model) formHead() []string {
	if large := m.formLarge(); large != nil {
		return append(large, "")
	}
	return nil
}

// fileLine names the file and reports whether it has these figures.
func (m Model) fileLine(w int) string {
	name := m.fileName()
	switch {
	case m.path == "" && m.demo:
		name = "Simulated, in no file"
	case m.path == "":
		name = "Not in a file yet"
	}
	name = m.style.Strong.Render(name)
	if m.changed() {
		name += "  " + m.style.Doubt.Render("* not saved")
	}
	if m.listOff(len(m.reason(w))) > 0 {
		key := "↑"
		if m.keyless() {
			key = ""
		}
		name += style.FirstFit(w-2-style.Width(name), m.style.More("  … more above", key), m.style.More("  … up", key), "")
	}
	return style.Cell(" "+name, w)
}

// listing is the visible lines, with the reason below a refused value.
func (m Model) listing(w int) []string {
	rows, reason := m.listRows(), m.reason(w)
	off := m.listOff(len(reason))
	out := make([]string, 0, rows)
	for i := off; i < len(m.lines) && len(out) < rows; i++ {
		out = append(out, style.Cell(m.line(i, w), w-1))
		if i == m.at {
			for _, l := range reason {
				out = append(out, "    "+m.style.Warn.Render(l))
			}
		}
	}
	if h := m.headOver(off); h >= 0 {
		out[0] = style.Cell(m.line(h, w), w-1)
	}
	if left := len(m.lines) - off + len(reason) - rows; left > 0 && rows > 2 {
		out = m.cut(out[:rows], off+rows-len(reason))
	}
	for len(out) < rows {
		out = append(out, "")
	}
	return out[:rows]
}

// reason is why a value is refused, wrapped; it stands below its line.
func (m Model) reason(w int) []string {
	if !m.editing || m.bad == "" {
		return nil
	}
	return style.Wrap("! "+words.Sentence(m.bad), w-6)
}

// listOff is the first line shown when so many rows are taken by a reason. No figure is without its heading
// then, and no heading stands alone, neither in the first row nor above the note that more follows.
func (m Model) listOff(reason int) int {
	rows, all := m.listRows(), len(m.lines)+reason
	seen := rows
	if all > rows {
		seen -= m.noteRows()
	}
	off := max(m.off, min(m.at+1+reason-seen, all-rows))
	for off < m.at && (off < all-rows && m.footAlone(off+rows-reason, all) || off <= all-rows && m.topAlone(off)) {
		off++
	}
	return off
}

// topAlone reports whether the list from line off on would begin with a heading without its figures.
func (m Model) topAlone(off int) bool {
	return off > 0 && m.lines[off].head == "" && off+1 < len(m.lines) && m.lines[off+1].head != ""
}

// footAlone reports whether the last row above the note that more follows, before line next, has a heading. The
// start of a narrow list shows none there.
func (m Model) footAlone(next, all int) bool {
	if m.layout() == narrow && next <= m.listRows() {
		return false
	}
	last := next - 1 - m.noteRows()
	return next < all && last >= 0 && last < len(m.lines) && m.lines[last].head != ""
}

// noteRows are those of the note that more follows, with an empty one above it where the list is not low.
func (m Model) noteRows() int {
	if m.listRows() < lowList {
		return 1
	}
	return 2
}

// lowList is the height of a list below which it has no empty row above its note.
const lowList = 5

// headOver is the line of the heading shown in the first row when the list begins with
// line off within a section, -1 for none: without it no one knows to which run the figures
// belong.
func (m Model) headOver(off int) int {
	if off <= 0 || off >= m.at || m.lines[off].head != "" || m.topAlone(off) {
		return -1
	}
	for h := off - 1; h >= 0; h-- {
		if m.lines[h].head != "" {
			return h
		}
	}
	return -1
}

// cut replaces the last row by a note that more follows; next is the first line without a
// row. A heading that would stand alone above the note is left out.
func (m Model) cut(rows []string, next int) []string {
	last := len(rows) - 1
	key := "↓"
	if m.keyless() {
		key = ""
	}
	note := m.noteRows()
	for i := 1; i < note; i++ {
		rows[last-i] = ""
	}
	if before := next - 1 - note; before >= 0 && m.lines[before].head != "" {
		rows[last-note] = ""
		if note > 1 { // one empty row is enough
			rows[last], last = "", last-1
		}
	}
	rows[last] = m.style.More("   … more below", key)
	return rows
}

// line is one row of the list.
func (m Model) line(i, w int) string {
	l := m.lines[i]
	st := m.style
	if l.head != "" {
		return " " + st.Strong.Render(l.head) + " " + st.Quiet.Render(strings.Repeat("─", max(0, w-3-ansi.StringWidth(l.head))))
	}
	mark, label := "   ", l.fig.label()
	if i == m.at {
		mark, label = " ▸ ", st.Accent.Render(label)
	}
	if !l.empty() {
		label = style.Cell(label, m.labelWidth())
	}
	room := m.valueRoom(w)
	switch {
	case i == m.at && m.editing:
		return mark + label + " " + m.style.Typed().Render(m.entry.View(room))
	case l.empty():
		return mark + style.WrapKeys(m.offering(l.value), w, style.Text{}, m.style.Accent)[0]
	case l.given:
		return mark + label + " " + l.value
	case l.taken == "":
		return mark + label + " " + st.Quiet.Render("-")
	}
	return mark + label + " " + st.Quiet.Render("("+style.Clean(l.taken)+")")
}

// valueRoom is the width of a value of the list, in cells.
func (m Model) valueRoom(w int) int { return w - 1 - 3 - m.labelWidth() - 1 }

// caution stands on every page beside the results: work on the prop follows from them.
const (
	caution        = "Power off before work on wires. Fuse every feed. Mains side: licensed people."
	cautionInShort = "Power off before work. Fuse every feed."
)

// foot is a question, a note, or the hint of the chosen figure, and below it the caution; each
// has an empty row above.
func (m Model) foot(w int) []string {
	var out []string
	if m.layout() == narrow && !m.naming {
		out = m.wiresFirst()
	}
	if m.naming {
		out = append(out, " "+m.style.Strong.Render("Save as ")+m.style.Typed().Render(m.entry.View(w-10)))
	}
	say, look, most := m.footText()
	for _, l := range style.WrapKeys(m.offering(say), w-3, look, m.style.Accent) {
		out = append(out, " "+l)
	}
	if len(out) > most {
		out = out[:most]
		out[most-1] = ansi.Truncate(out[most-1], w-3, "") + "…"
	}
	out = append(append([]string{""}, out...), "")
	if m.layout() == narrow {
		return append(out, m.briefCaution()...)
	}
	for i, l := range style.Wrap(caution, w-3) {
		if i == 0 {
			l = m.style.Strong.Render("Power off") + strings.TrimPrefix(l, "Power off")
		}
		out = append(out, " "+l)
	}
	return out
}

// footText is the text of the foot, its style, and its largest number of rows: a note is
// shown in full.
func (m Model) footText() (say string, look style.Text, most int) {
	switch {
	case m.naming && m.bad != "":
		return "! " + words.Sentence(m.bad), m.style.Warn, mostFoot
	case m.note != "":
		return m.note, style.Text{}, mostFoot
	case m.kept != nil && !m.editing:
		return m.waiting(), m.style.Warn, mostFoot
	case m.lines[m.at].empty():
		return "There is none yet: press `a` to add one.", m.style.Quiet, footRows
	}
	if l := m.lines[m.at]; style.Width(l.value) > m.valueRoom(m.leftWidth()) { // cut in its line
		return style.Clean(l.value) + ". " + l.fig.hint, m.style.Quiet, mostFoot
	}
	return m.lines[m.at].fig.hint, m.style.Quiet, footRows
}
