package record

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/tui/style"
)

// A label stands before a text.
type label struct {
	text  string
	warns bool
}

func plainLabel(text string) label { return label{text, false} }

func warning(text string) label { return label{text, true} }

// dueLabel stands before a reminder above the list.
var dueLabel = plainLabel("Due:")

// A reminder is one thing that is due, or a problem of the file.
type reminder struct {
	label label
	text  string
}

// reminders are everything that is due, then the problems of the file.
func (m Model) reminders() []reminder {
	switch {
	case m.prop == nil || m.path == "":
		return nil
	case m.failed != "":
		return []reminder{{warning("TROUBLE:"), m.failed}}
	}
	var out []reminder
	for _, d := range m.due {
		out = append(out, reminder{dueLabel, style.Clean(d)})
	}
	for _, t := range m.history.Troubles {
		out = append(out, reminder{warning("WARNING:"), fmt.Sprintf("line %d of the file: %s", t.Line, style.Clean(t.Text))})
	}
	return out
}

// dueInShort are as many reminders as fit above the list.
func (m Model) dueInShort(width int) []string {
	all := m.reminders()
	if m.failed != "" && len(all) > 0 { // there is nothing else to show
		return m.labelled(all[0].label, all[0].text, width)
	}
	most := 4
	switch {
	case m.size.Height < airyHeight:
		most = 2
	case m.size.Height < roomyHeight:
		most = 3
	}
	var out []string
	for i, d := range all {
		lines := m.labelled(d.label, d.text, width)
		room := most - len(out)
		if i < len(all)-1 {
			room-- // for the line with the number of the others
		}
		if len(lines) > room {
			text := fmt.Sprintf("… %d more due", len(all)-i)
			if i == 0 {
				text = fmt.Sprintf("%d due", len(all))
			}
			return append(out, m.style.More(text, m.offered("m")))
		}
		out = append(out, lines...)
	}
	return out
}

// labelled is a wrapped text after a label.
func (m Model) labelled(l label, text string, width int) []string {
	look := m.style.Strong
	if l.warns {
		look = m.style.Warn
	}
	if l.text == "" {
		return broken(style.Wrap(text, width), width)
	}
	lines := broken(style.Wrap(l.text+" "+text, width-2), width-2)
	for i, line := range lines {
		if i == 0 && strings.HasPrefix(line, l.text) {
			lines[i] = look.Render(l.text) + line[len(l.text):]
		} else {
			lines[i] = "  " + line
		}
	}
	return lines
}

// broken are lines of which those with a path longer than a width are broken behind a folder of it.
func broken(lines []string, width int) (out []string) {
	width = max(2, width) // of the widest sign
	for _, l := range lines {
		for style.Width(l) > width {
			head := ansi.Truncate(l, width, "")
			if at := strings.LastIndexByte(head, '/'); at > 0 {
				head = head[:at+1]
			}
			out, l = append(out, head), l[len(head):]
		}
		out = append(out, l)
	}
	return out
}
