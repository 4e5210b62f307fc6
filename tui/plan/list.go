package plan

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/prop"
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
	out := append(m.formLarge(), m.fileLine(w))
	out = append(out, m.listing(w)...)
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
	if m.off > 0 && len(m.lines) > m.listRows() {
		above := []string{"  … more above: ↑", "  more: ↑", "  ↑", ""}
		if m.editing { // the key is another's then
			above = []string{"  … more above", "  more", ""}
		}
		name += m.style.Quiet.Render(style.FirstFit(w-2-style.Width(name), above...))
	}
	return style.Cell(" "+name, w)
}

// listing is the visible lines, with the reason below a refused value.
func (m Model) listing(w int) []string {
	rows := m.listRows()
	var reason []string
	if m.editing && m.bad != "" {
		reason = style.Wrap("! "+words.Sentence(m.bad), w-6)
	}
	seen := rows
	if len(m.lines)+len(reason) > rows {
		seen--
	}
	off := max(m.off, min(m.at+1+len(reason)-seen, len(m.lines)+len(reason)-rows))
	var out []string
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

// headOver is the line of the heading shown in the first row when the list begins with
// line off within a section, -1 for none: without it no one knows to which run the figures
// belong.
func (m Model) headOver(off int) int {
	if off <= 0 || off >= m.at || m.lines[off].head != "" {
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
	more := "   … more below: ↓"
	if m.editing { // the scroll key types text then
		more = "   … more below"
	}
	rows[last] = m.style.Quiet.Render(more)
	if before := next - 2; before >= 0 && m.lines[before].head != "" {
		rows[last-1] = ""
	}
	return rows
}

// line is one row of the list.
func (m Model) line(i, w int) string {
	l := m.lines[i]
	st := m.style
	if l.head != "" {
		return " " + st.Strong.Render(l.head) + " " + st.Quiet.Render(m.strip(l.where, w-4-ansi.StringWidth(l.head)))
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
		return mark + l.value
	case l.given:
		return mark + label + " " + l.value
	case l.taken == "":
		return mark + label + " " + st.Quiet.Render("-")
	}
	return mark + label + " " + st.Quiet.Render("("+style.Clean(l.taken)+")")
}

// strip is a run as a row of its pixels, ten and ten together, beside the heading of its
// section; a rule beside the others. A run that is longer than the room fills it.
func (m Model) strip(w prop.Where, room int) string {
	if w.Table != "run" || w.Index < 0 || m.doc.Prop().Bulb() {
		return strings.Repeat("─", max(0, room))
	}
	var b strings.Builder
	for i := range m.doc.Prop().Runs[w.Index].Pixels {
		if i > 0 && i%10 == 0 {
			b.WriteByte(' ')
		}
		b.WriteString("•")
		if i+i/10+2 > room {
			break
		}
	}
	return b.String()
}

// valueRoom is the width of a value of the list, in cells.
func (m Model) valueRoom(w int) int { return w - 1 - 3 - m.labelWidth() - 1 }

// caution stands on every page beside the results: work on the prop follows from them.
const caution = "Power off before work on wires. Fuse every feed. Mains side: licensed people."

// foot is a question, a note, or the hint of the chosen figure, and below it the caution; each
// has an empty row above.
func (m Model) foot(w int) []string {
	var out []string
	if m.layout() == narrow && !m.naming && m.plan != nil { // what an edit did
		out = append(out, m.shortest(m.plan, w))
	}
	if m.naming {
		out = append(out, " "+m.style.Strong.Render("Save as ")+m.style.Typed().Render(m.entry.View(w-10)))
	}
	say, look, most := m.footText()
	for _, l := range style.Wrap(say, w-3) {
		out = append(out, " "+look.Render(l))
	}
	if len(out) > most {
		out = out[:most]
		out[most-1] = ansi.Truncate(out[most-1], w-3, "") + "…"
	}
	out = append([]string{""}, out...)
	if m.layout() == narrow {
		return out
	}
	out = append(out, "")
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
		return "There is none yet: press a to add one.", m.style.Quiet, footRows
	}
	if l := m.lines[m.at]; style.Width(l.value) > m.valueRoom(m.leftWidth()) { // cut in its line
		return style.Clean(l.value) + ". " + l.fig.hint, m.style.Quiet, mostFoot
	}
	return m.lines[m.at].fig.hint, m.style.Quiet, footRows
}
