package record

import (
	"fmt"
	"path/filepath"
	"strings"

	"example.org/ringout/internal/record"
	"example.org/ringout/tui/style"
)

// View draws the page.
func (m Model) View(width, height int) string {
	m.size.Width, m.size.Height = width, height
	lines := m.head(width)
	rows := m.rows()
	body := m.body(width)
	from := m.top()
	shown := body[min(from, len(body)):min(len(body), from+rows)]
	lines = append(lines, shown...)
	for range rows - len(shown) {
		lines = append(lines, "")
	}
	if more := len(body) - from - rows; more > 0 {
		lines[len(lines)-1] = m.style.Quiet.Render(fmt.Sprintf("   %d more lines below ↓", more+1))
	}
	return style.Fit(strings.Join(append(lines, m.foot(width)...), "\n"), width, height)
}

// rows is how many lines of the body there is room for.
func (m Model) rows() int {
	return max(1, m.size.Height-len(m.head(m.size.Width))-len(m.foot(m.size.Width)))
}

// top is the first line of the body that is shown.
func (m Model) top() int {
	if m.page != listPage {
		return max(0, min(m.scroll, len(m.body(m.size.Width))-m.rows()))
	}
	n, rows := len(m.history.Entries), m.rows()
	row := n - 1 - m.at // the newest is on top
	if row < rows-1 || n <= rows {
		return 0
	}
	return min(row-rows+2, n-rows)
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
		return st.Strong.Render(fmt.Sprintf("Entry %d of %d", m.at+1, len(m.history.Entries))) + "  " + m.when(e)
	case comparePage:
		return st.Strong.Render(fmt.Sprintf("Entry %d against entry %d", m.to+1, m.from+1))
	case mindPage:
		return st.Strong.Render("Due, and to mind")
	}
	if m.path == "" {
		return st.Strong.Render("Bench record")
	}
	return st.Strong.Render("Bench record") + "  " + st.Quiet.Render(style.Clean(filepath.Base(record.Beside(m.path).Path)))
}

func (m Model) when(e record.Entry) string { return e.At.Format("2 January 2006 15:04") }

// mindShort is what is due and to mind in few lines; m shows all of it.
func (m Model) mindShort(width int) []string {
	most := 4
	if m.size.Height < 20 {
		most = 2
	}
	all := m.mindLines(width)
	if len(all) <= most {
		return all
	}
	return append(all[:most-1:most-1], m.style.Quiet.Render(fmt.Sprintf("   and %d more lines: m shows all", len(all)-most+1)))
}

// mindLines are all that is due and all that is the matter with the file.
func (m Model) mindLines(width int) []string {
	var out []string
	put := func(head, text string) { out = append(out, m.headed(head, text, width)...) }
	if m.prop == nil || m.path == "" {
		return nil
	}
	if m.failed != "" {
		put("TROUBLE: ", m.failed)
		return out
	}
	for _, d := range m.due {
		put("Due: ", style.Clean(d))
	}
	for _, t := range m.history.Troubles {
		put("MIND: ", fmt.Sprintf("line %d of the file: %s.", t.Line, style.Clean(t.Text)))
	}
	return out
}

// headed is a wrapped text behind a strong word; capitals warn.
func (m Model) headed(head, text string, width int) []string {
	lines := style.Wrap(head+text, width-3)
	look := m.style.Strong
	if strings.ToUpper(head) == head {
		look = m.style.Warn
	}
	for i, l := range lines {
		if i == 0 && strings.HasPrefix(l, head) {
			l = look.Render(strings.TrimRight(head, " ")) + " " + l[len(head):]
		} else {
			l = "  " + l
		}
		lines[i] = " " + l
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
	if m.typing != nil {
		lines := m.typing.view(width - 3)
		for _, l := range lines[max(0, len(lines)-5):] {
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
