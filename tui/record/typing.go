package record

import (
	"path/filepath"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/record"
	"example.org/ringout/tui/entry"
	"example.org/ringout/tui/style"
)

// The purposes of a line being typed.
const (
	noteLine = iota
	elsewhereLine
	sheetLine
)

var lineNames = [...]string{"Note", "Record in the file", "Write the sheet to the file"}

// longest is the most bytes of one line.
const longest = 4000

// typing is a line being typed. It is never changed in place.
type typing struct {
	what int
	text entry.Line
}

func typingOf(what int, text string) *typing { return &typing{what, entry.Of(text, longest)} }

// typedRows is the largest number of rows of a line being typed.
const typedRows = 5

// large is the text with what it is, or alone.
func (t typing) large() []string {
	text := t.text.String()
	return []string{lineNames[t.what] + ": " + text, text}
}

// view is the line with its cursor, broken to a width; its name has another style than its
// text.
func (t typing) view(st style.Styles, width int) []string {
	name := lineNames[t.what] + ": "
	lines := t.text.Wrapped(name, width, typedRows)
	for i, l := range lines {
		rest, named := strings.CutPrefix(l, name)
		lines[i] = st.Typed().Render(rest)
		if named {
			lines[i] = st.Accent.Render(strings.TrimSpace(name)) + " " + lines[i]
		}
	}
	return lines
}

// typed handles a key while a line is typed.
func (m Model) typed(k tea.KeyMsg) (Model, tea.Cmd) {
	switch k.Type {
	case tea.KeyEnter:
		return m.entered()
	case tea.KeyEsc:
		if m.typing.what == noteLine {
			m.draft = m.typing.text.String()
		}
		m.typing = nil
		return m.say("", false).settled()
	}
	m.typing = &typing{m.typing.what, m.typing.text.Key(k)}
	return m, nil
}

// entered uses the typed line.
func (m Model) entered() (Model, tea.Cmd) {
	t := m.typing
	text := strings.TrimSpace(t.text.String())
	if text == "" {
		return m.say("Type something first, or leave with esc.", true), nil
	}
	m.typing, m.note, m.bad = nil, "", false
	switch t.what {
	case elsewhereLine:
		return m.write(record.File{Path: text})
	case sheetLine:
		return m.writeSheet(text)
	}
	return m.record(text)
}

// askNote begins a note, or continues the one that was begun.
func (m Model) askNote() Model {
	m.typing = typingOf(noteLine, m.draft)
	return m
}

// askElsewhere asks for another file for the notes that wait.
func (m Model) askElsewhere() Model {
	if len(m.pending) == 0 {
		return m.say("Nothing waits to be recorded.", true)
	}
	m.typing = typingOf(elsewhereLine, m.offer(".bench.jsonl"))
	return m
}

// askSheet asks for a place for the sheet.
func (m Model) askSheet() Model {
	m.typing = typingOf(sheetLine, m.offer(".sheet.html"))
	return m
}

// offer is a file name in the folder that is offered when the prop's own can't be written.
func (m Model) offer(ending string) string {
	return filepath.Join(m.opt.Home, record.FileName(m.prop.Name)+ending)
}
