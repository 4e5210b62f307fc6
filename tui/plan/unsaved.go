package plan

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// Unsaved names the changes that would be lost by leaving now; empty for none.
func (m Model) Unsaved() string {
	if m.changed() || m.editing && m.entry.String() != m.lines[m.at].value {
		return m.fileName()
	}
	return ""
}

// asTyped is the document with the value that is being typed, if it reads well.
func (m Model) asTyped() *prop.Document {
	if m.doc == nil || !m.editing {
		return m.doc
	}
	if l := m.lines[m.at]; m.entry.String() != l.value {
		if next, err := set(m.doc, l, m.entry.String()); err == nil {
			return next
		}
	}
	return m.doc
}

// Draft is the unsaved text of the prop file; false when all is saved.
func (m Model) Draft() (screen.Draft, bool) {
	d := m.asTyped()
	if d == nil || d.Text() == m.saved {
		return screen.Draft{}, false
	}
	return screen.Draft{Path: m.path, Text: d.Text(), Taken: m.taken}, true
}

// Remind names unsaved changes of an earlier run of the program.
func (m Model) Remind() string {
	if m.kept == nil {
		return ""
	}
	return fmt.Sprintf("Changes of %s to %s were not saved and wait: on the %s page t takes them up.",
		m.kept.At.Format("2 January 15:04"), keptName(m.kept), m.Name())
}

func keptName(u *prop.UnsavedFile) string {
	if u.Path == "" {
		return "a prop without a file"
	}
	return style.Clean(filepath.Base(u.Path))
}

// waiting is the text of the foot while such changes exist.
func (m Model) waiting() string {
	return fmt.Sprintf("Changes of %s wait: `t` takes them up, `D` drops them.", m.kept.At.Format("2 Jan 15:04"))
}

// keptKey handles the two keys for such changes; ok is false for others.
func (m Model) keptKey(k tea.KeyMsg) (next Model, cmd tea.Cmd, ok bool) {
	if m.kept == nil || m.Typing() {
		return m, nil, false
	}
	switch {
	case key.Matches(k, m.keys.TakeUp):
		m, cmd = m.takeUp()
		return m, cmd, true
	case key.Matches(k, m.keys.Drop):
		if !m.dropping {
			m.dropping, m.note = true, "D again drops the changes of "+m.kept.At.Format("2 January 15:04")+" for good."
			return m, nil, true
		}
		file := m.kept.File
		m.kept, m.dropping, m.note = nil, false, "Dropped."
		return m, removed(file), true
	}
	m.dropping = false
	return m, nil, false
}

// takeUp restores the unsaved changes. Their file stays until s saves them.
func (m Model) takeUp() (Model, tea.Cmd) {
	u := m.kept
	m.kept, m.dropping, m.taken = nil, false, u.File
	if m.doc != nil {
		m.undo = append(m.undo[max(0, len(m.undo)-maxUndo):len(m.undo):len(m.undo)], m.state())
		m.redo = nil
	}
	if m.doc == nil || m.path != u.Path {
		m.path, m.saved = u.Path, u.Base
	}
	had := m.doc != nil
	m, cmd := m.have(u.Doc)
	m.note = "Taken up: `s` saves them"
	if had {
		m.note += ", `u` brings the file's own figures back"
	}
	m.note += "."
	return m, cmd
}

// forget removes the file of restored changes after they were saved.
func (m Model) forget() (Model, tea.Cmd) {
	file := m.taken
	m.taken = ""
	return m, removed(file)
}

// removed removes a file in a command. Errors are ignored: the changes are then offered
// again.
func removed(file string) tea.Cmd {
	if file == "" {
		return nil
	}
	return func() tea.Msg {
		os.Remove(file)
		return nil
	}
}
