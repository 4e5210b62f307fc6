package record

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"example.org/ringout/internal/record"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// edge is the left edge of the page, and what stays free at its right.
const edge = 2

// View draws the page.
func (m Model) View(width, height int) string {
	if m.prop == nil && m.note == "" && m.typing == nil {
		return style.Fit(strings.Join(portrait.NoPropPage(m.style, width, height), "\n"), width, height)
	}
	m.size.Width, m.size.Height = width, height
	inner := width - 2*edge
	lines := append(m.head(inner), m.middle(inner)...)
	lines = append(lines, m.foot(inner)...)
	for i := range lines {
		lines[i] = strings.Repeat(" ", edge-1) + lines[i] // one is theirs, for the sign of the chosen line
	}
	return style.Fit(strings.Join(lines, "\n"), width, height)
}

// middle is as much of the body as there is room for, with the chosen entry
// beside the list where the page is wide, else below it.
func (m Model) middle(width int) []string {
	rows, from := m.rows(), m.top()
	out, all := m.part(width, from, rows)
	if more := all - from - rows; more > 0 {
		out[rows-1] = m.style.Quiet.Render(fmt.Sprintf("   %d more lines below ↓", more+1))
	}
	for len(out) < rows {
		out = append(out, "")
	}
	switch {
	case m.empty() && all <= rows:
		return m.filled(out, width, rows)
	case !m.listing():
		return m.largely(out, all, width)
	case !m.wide():
		return m.below(out, all, width)
	}
	left := m.listWidth(width)
	out = m.largely(out, all, left)
	beside := m.wholeEntry(width - left - 2)
	if len(beside) > rows {
		beside = append(slices.Clone(beside[:rows-1]), m.style.Quiet.Render("   enter shows the rest"))
	}
	for i := range out {
		out[i] = style.Cell(out[i], left+2)
		if i < len(beside) {
			out[i] += beside[i]
		}
	}
	return out
}

// largely puts what the page comes to in large letters below so many of its lines, where
// they leave room.
func (m Model) largely(lines []string, used, width int) []string {
	if used >= len(lines) || m.prop == nil {
		return lines
	}
	out := slices.Clone(lines[:used])
	for _, l := range portrait.Words(m.style, width-edge, len(lines)-used, m.outcome()...) {
		out = append(out, " "+l)
	}
	return append(out, make([]string, len(lines)-len(out))...)
}

// outcome is that in ever fewer words; nil for a page that comes to nothing.
func (m Model) outcome() []string {
	var of record.Entry
	switch m.page {
	case listPage, entryPage:
		of, _ = m.entry()
	case comparePage:
		of = m.history.Entries[m.to]
	case mindPage:
		if n := len(m.reminders()); n > 0 {
			return []string{fmt.Sprintf("%d due", n)}
		}
	}
	if of.Verdict == "" { // a note, or none
		return nil
	}
	return record.History{Entries: []record.Entry{of}}.Large()
}

// below fills what a short list leaves free with the beginning of the chosen
// entry.
func (m Model) below(lines []string, entries, width int) []string {
	const enough = 6 // fewer lines say too little
	free := len(lines) - entries - 1
	if free < enough {
		return lines
	}
	entry := m.wholeEntry(width)
	if len(entry) > free-1 {
		entry = append(slices.Clone(entry[:free-2]), m.style.Quiet.Render("   enter shows the rest"))
	}
	return slices.Concat(lines[:entries], []string{""}, entry, lines[entries+1+len(entry):])
}

// wide tells that the chosen entry stands beside the list.
func (m Model) wide() bool { return m.size.Width >= 100 && len(m.history.Entries) > 0 }

func (m Model) listWidth(width int) int {
	if m.wide() {
		return min(64, width*55/100)
	}
	return width
}

// rows is how many lines of the body there is room for.
func (m Model) rows() int {
	inner := m.size.Width - 2*edge
	return max(1, m.size.Height-len(m.head(inner))-len(m.foot(inner)))
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

// scrollMost is how far a page that is no list can be scrolled.
func (m Model) scrollMost() int {
	return max(0, len(m.body(m.size.Width-2*edge))-m.rows())
}

// head is the title and, above the list, what is due and what to mind.
func (m Model) head(width int) []string {
	title := m.title()
	if m.reading && len(m.history.Entries) == 0 {
		title += "  " + m.style.Quiet.Render("reading")
	}
	lines := []string{style.Cell(" "+title, width)}
	if m.page == listPage {
		lines = append(lines, m.mindShort(width)...)
	}
	return append(lines, "")
}

func (m Model) title() string {
	st := m.style
	switch m.page {
	case entryPage:
		e, _ := m.entry()
		title := st.Strong.Render(fmt.Sprintf("Entry %d of %d", m.at+1, len(m.history.Entries))) + "  " + m.when(e)
		if slices.Contains(m.marks, m.at) {
			title += "  " + st.Accent.Render("* marked")
		}
		return title
	case comparePage:
		a, b := m.history.Entries[m.from], m.history.Entries[m.to]
		return st.Strong.Render(fmt.Sprintf("Entries %d and %d", m.from+1, m.to+1)) +
			"  " + a.At.Format("2006-01-02") + " and " + b.At.Format("2006-01-02")
	case mindPage:
		return st.Strong.Render("Due, and to mind")
	}
	if m.path == "" {
		return st.Strong.Render("Bench record")
	}
	return st.Strong.Render("Bench record") + "  " + st.Quiet.Render(style.Clean(filepath.Base(record.Beside(m.path).Path)))
}

func (m Model) when(e record.Entry) string { return e.At.Format("2 January 2006 15:04") }

// A reminder is one thing that is due, or the matter with the file.
type reminder struct{ head, text string }

// reminders are all that is due, then all that is the matter with the file.
func (m Model) reminders() []reminder {
	switch {
	case m.prop == nil || m.path == "":
		return nil
	case m.failed != "":
		return []reminder{{"TROUBLE: ", m.failed}}
	}
	var out []reminder
	for _, d := range m.due {
		out = append(out, reminder{"Due: ", style.Clean(d)})
	}
	for _, t := range m.history.Troubles {
		out = append(out, reminder{"MIND: ", fmt.Sprintf("line %d of the file: %s", t.Line, style.Clean(t.Text))})
	}
	return out
}

// mindShort is as much of them as the page has room for above the list.
func (m Model) mindShort(width int) []string {
	most := 4
	if m.size.Height < 20 {
		most = 3
	}
	var out []string
	all := m.reminders()
	for i, d := range all {
		lines := m.headed(d.head, d.text, width)
		room := most - len(out)
		if i < len(all)-1 {
			room-- // the last line tells how many more there are
		}
		if len(lines) > room {
			if i == 0 { // one is shown in any case, as far as it goes
				out, i = append(out, lines[:room]...), 1
			}
			return append(out, m.style.Quiet.Render(fmt.Sprintf("   %d more: m shows all", max(1, len(all)-i))))
		}
		out = append(out, lines...)
	}
	return out
}

// mindLines are all of them, whole.
func (m Model) mindLines(width int) (out []string) {
	for _, d := range m.reminders() {
		out = append(out, m.headed(d.head, d.text, width)...)
	}
	return out
}

// headed is a wrapped text behind a strong word; capitals warn.
func (m Model) headed(head, text string, width int) []string {
	look := m.style.Strong
	if strings.ToUpper(head) == head {
		look = m.style.Warn
	}
	lines := style.Wrap(head+text, width-4)
	for i, l := range lines {
		if i == 0 && strings.HasPrefix(l, head) {
			lines[i] = " " + look.Render(strings.TrimRight(head, " ")) + " " + l[len(head):]
		} else {
			lines[i] = "   " + l
		}
	}
	return lines
}

// foot is the line being typed, or the answer to the last key and what waits.
func (m Model) foot(width int) []string {
	var out []string
	if m.note != "" {
		head := ""
		if m.bad {
			head = "! "
		}
		out = append(out, m.headed(head, m.note, width)...)
	}
	if m.held != "" {
		out = append(out, m.headed("WAITING ", "for "+style.Clean(m.held)+", which another program holds: the note is recorded once that lets go.", width)...)
	}
	if m.typing != nil {
		lines := m.typing.view(width - 3)
		for _, l := range lines {
			out = append(out, " "+m.style.Accent.Render(l))
		}
	} else if len(m.pending) > 0 {
		out = append(out, m.headed("NOT RECORDED: ", strings.TrimSuffix(strings.TrimPrefix(m.why, "not recorded: "), ".")+
			". Press w to record the note elsewhere; it is kept until you leave.", width)...)
	}
	if len(out) > 0 {
		out = append([]string{""}, out...)
	}
	return out
}
