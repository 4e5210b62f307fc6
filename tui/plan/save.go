package plan

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/entry"
)

// savedMsg is the result of saving.
type savedMsg struct {
	path, text string
	err        error
	other      bool // the file has another text: nothing was written
}

// save writes back to the file, or asks for a name when there is none.
func (m Model) save() (Model, tea.Cmd) {
	switch {
	case m.saving:
		return m, nil
	case m.path == "":
		return m.askName(), nil
	case !m.changed():
		m.note = m.fileName() + " has these figures already."
		return m, nil
	}
	return m.write(m.path, m.saved)
}

// write saves in a command. was is the text that the file must still have; another text is
// overwritten only when the builder was asked.
func (m Model) write(path, was string) (Model, tea.Cmd) {
	d, sure := *m.doc, m.sure
	m.saving, m.sure = true, false
	return m, func() tea.Msg {
		out := savedMsg{path: path, text: d.Text()}
		if !sure {
			_, there, err := prop.Load(path)
			out.other = there != nil && there.Text() != was
			if there == nil && err != nil && !errors.Is(err, fs.ErrNotExist) {
				out.err = err
			}
		}
		if out.err == nil && !out.other {
			out.err = d.Save(path)
		}
		return out
	}
}

// savedAs reports the result. A prop under a new name is connected under it.
func (m Model) savedAs(msg savedMsg) (Model, tea.Cmd) {
	m.saving = false
	switch {
	case msg.other && m.naming:
		m.sure, m.bad = true, "there is such a file already: enter again writes over it, or type another name"
	case msg.other:
		m.sure = true
		m.note = fmt.Sprintf("%s was changed by someone else meanwhile: s again writes over it, n saves under another name.", m.fileName())
	case msg.err != nil && m.naming:
		m.bad = clean(msg.err)
	case msg.err != nil:
		m.note = "Not saved: " + clean(msg.err)
	default:
		m.path, m.saved, m.naming, m.bad = msg.path, msg.text, false, ""
		m.note = "Written to " + m.fileName() + "."
		m, gone := m.forget()
		m, cmd := m.connect()
		return m, tea.Batch(gone, cmd)
	}
	return m, nil
}

// askName asks for a name to save under.
func (m Model) askName() Model {
	name := m.path
	if name == "" {
		name = fileNameOf(m.doc.Prop().Name) + ".toml"
	}
	m.naming, m.entry, m.bad, m.sure = true, entry.Of(name, maxTyped), "", false
	return m
}

// fileNameOf is a name fit for a file: lower case, dashes between words.
func fileNameOf(name string) string {
	s := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r > 127:
			return r
		}
		return '-'
	}, strings.ToLower(name))
	if s = strings.Trim(s, "-"); s == "" {
		return "prop"
	}
	return s
}

// nameKey is a key while a file name is typed.
func (m Model) nameKey(k tea.KeyMsg) (Model, tea.Cmd) {
	switch {
	case key.Matches(k, m.keys.Accept):
		name := strings.TrimSpace(m.entry.String())
		switch {
		case m.saving:
			return m, nil
		case name == "":
			m.bad = "type a name, or leave with esc"
			return m, nil
		case filepath.Ext(name) == "":
			name += ".toml"
		}
		was := "\x00" // no file has this text: any that is there is in the way
		if name == m.path {
			was = m.saved
		}
		return m.write(name, was)
	case key.Matches(k, m.keys.Cancel):
		m.naming, m.bad, m.sure = false, "", false
		return m, nil
	}
	was := m.entry.String()
	if m.entry = m.entry.Key(k); m.entry.String() != was {
		m.bad, m.sure = "", false
	}
	return m, nil
}
