package record

import (
	"os"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
)

// Unsaved names the record while a note is not on disk.
func (m Model) Unsaved() string {
	if m.busy || m.begun() != "" && m.begun() != m.kept.Text {
		return "the bench record"
	}
	return ""
}

// begun is the text of all notes that are not recorded.
func (m Model) begun() string {
	var all []string
	for _, e := range append(slices.Clone(m.writing), m.pending...) {
		all = append(all, e.Notes)
	}
	last := m.draft
	if m.typing != nil && m.typing.what == noteLine {
		last = m.typing.text.String()
	}
	if last != "" {
		all = append(all, last)
	}
	return strings.Join(all, " ")
}

// Draft is an unrecorded note, for an end without a question; false for none, and for a prop
// without a file, which has no record.
func (m Model) Draft() (screen.Draft, bool) {
	text := m.begun()
	if text == "" || text == m.kept.Text || m.path == "" {
		return screen.Draft{}, false
	}
	return screen.Draft{Path: record.Beside(m.path).Path, Prop: m.path, Text: text, Taken: m.kept.File}, true
}

// found continues an unsaved note of an earlier run of the program.
func (m Model) found(k keptNote) Model {
	if k.Text == "" || m.kept.File != "" || m.begun() != "" {
		return m
	}
	m.kept, m.draft = k, k.Text
	return m.say("A note that was begun before is kept: n goes on with it.", false)
}

// keptNote is an unrecorded note on disk.
type keptNote struct{ File, Text string }

// settled removes the file of such a note, once it is recorded or its text was deleted.
func (m Model) settled() (Model, tea.Cmd) {
	file := m.kept.File
	if file == "" || m.begun() != "" {
		return m, nil
	}
	m.kept = keptNote{}
	return m, func() tea.Msg {
		os.Remove(file)
		return nil
	}
}
