package check

import (
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/record"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// lastMsg is the result of the last check-out in the record of a prop file.
type lastMsg struct {
	path  string
	large []string
}

// lookForLast reads the record beside the prop file, in a command. Errors of the record
// are shown on the Record screen.
func lookForLast(m Model) tea.Cmd {
	path := m.bench.path
	if path == "" {
		return nil
	}
	p := m.bench.prop
	return func() tea.Msg {
		h, err := record.Beside(path).Read(p.Name)
		if err != nil {
			return lastMsg{path: path}
		}
		return lastMsg{path, h.LargeFor(p)}
	}
}

// lastWords are the large texts of the start page: the progress of the check-out under
// way, else the result of the last one.
func lastWords(m Model) []string {
	switch {
	case m.under() && m.st.over():
		return m.st.verdict(m.of.sub)
	case m.under() && len(m.st.asked) > 0:
		return []string{words.Count(len(m.st.asked), "answer") + " so far"}
	case m.last != nil:
		return m.last
	case m.bench.path == "":
		return record.History{}.Large()
	}
	return nil
}

// lastLarge is lastWords in large letters, in so many rows; nil when they do not fit.
func (m Model) lastLarge(width, rows int) []string {
	large := portrait.Head(m.style, width-2*edge, min(rows, 1+digits.HeadRows(m.size.Height)), lastWords(m)...)
	if large == nil {
		return nil
	}
	return style.Indent(large, edge)
}
