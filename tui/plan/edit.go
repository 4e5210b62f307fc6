package plan

import (
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/entry"
)

// maxUndo is how many changes can be taken back.
const maxUndo = 200

// edit opens the chosen line.
func (m Model) edit() Model {
	m.showFigures()
	l := m.lines[m.at]
	if l.empty() {
		m.note = "There is none yet: a adds one."
		return m
	}
	m.editing, m.entry, m.bad = true, entry.Of(l.value, maxTyped), ""
	return m
}

// editKey is a key while a value is typed.
func (m Model) editKey(k tea.KeyMsg) (Model, tea.Cmd) {
	switch {
	case key.Matches(k, m.keys.Accept):
		return m.accept()
	case key.Matches(k, m.keys.Cancel):
		m.editing, m.bad = false, ""
		return m, nil
	case key.Matches(k, m.keys.Turn):
		m.entry, m.bad = m.entry.Turn(m.lines[m.at].fig.choices, 1), ""
		return m, nil
	case key.Matches(k, m.keys.ChoiceUp):
		m.entry, m.bad = m.entry.Turn(m.lines[m.at].fig.choices, -1), ""
		return m, nil
	}
	was := m.entry.String()
	if m.entry = m.entry.Key(k); m.entry.String() != was {
		m.bad = ""
	}
	return m, nil
}

// accept puts the typed value into the document, or shows why it is refused and stays.
func (m Model) accept() (Model, tea.Cmd) {
	l, now := m.lines[m.at], strings.TrimSpace(m.entry.String())
	if now == l.value {
		m.editing, m.bad = false, ""
		return m, nil
	}
	next, err := set(m.doc, l, now)
	if err != nil {
		m.bad = clean(err)
		return m, nil
	}
	m.editing, m.bad = false, ""
	return m.change(next)
}

// change replaces the document, and computes the plan again.
func (m Model) change(next *prop.Document) (Model, tea.Cmd) {
	if next.Text() == m.doc.Text() {
		return m, nil
	}
	m.undo = append(m.undo[max(0, len(m.undo)-maxUndo):len(m.undo):len(m.undo)], m.state())
	m.redo = nil
	return m.have(next)
}

// have is change without an entry for undo.
func (m Model) have(d *prop.Document) (Model, tea.Cmd) {
	m = m.with(d)
	m.edits++
	m, work := m.work()
	return m, tea.Batch(work, m.restFrom())
}

func (m Model) goBack() (Model, tea.Cmd) {
	if len(m.undo) == 0 {
		m.note = "Nothing to undo."
		return m, nil
	}
	n := len(m.undo) - 1
	m.redo = append(m.redo[:len(m.redo):len(m.redo)], m.state())
	to := m.undo[n]
	m.undo = m.undo[:n]
	m.note = "Taken back."
	return m.restore(to)
}

func (m Model) goOn() (Model, tea.Cmd) {
	if len(m.redo) == 0 {
		m.note = "Nothing to do again."
		return m, nil
	}
	n := len(m.redo) - 1
	m.undo = append(m.undo[:len(m.undo):len(m.undo)], m.state())
	to := m.redo[n]
	m.redo = m.redo[:n]
	m.note = "Done again."
	return m.restore(to)
}

// restore goes to another state. The saved text stays that of the disk, unless the state
// has another file.
func (m Model) restore(to state) (Model, tea.Cmd) {
	if to.path != m.path {
		m.path, m.saved = to.path, to.saved
	}
	return m.have(to.doc)
}

// add adds a run, feed or part.
func (m Model) add() (Model, tea.Cmd) {
	w := m.lines[m.at].where
	next, i, said, err := add(m.doc, w.Table, w.Index, m.plan)
	if err != nil {
		m.note = words.Capital(clean(err))
		return m, nil
	}
	m, cmd := m.change(next)
	m.note = said
	return m.goTo(prop.Where{Table: w.Table, Index: i, Key: "name"}), cmd
}

func (m Model) remove() (Model, tea.Cmd) {
	w := m.lines[m.at].where
	next, err := remove(m.doc, w.Table, w.Index)
	if err != nil {
		m.note = words.Capital(clean(err))
		return m, nil
	}
	gone := title(m.doc.Prop(), w.Table, w.Index)
	m, cmd := m.change(next)
	m.note = gone + " is taken out; `u` brings it back."
	w.Index = min(w.Index, next.Given(w.Table)-1)
	return m.goTo(w), cmd
}

func (m Model) move(by int) (Model, tea.Cmd) {
	w := m.lines[m.at].where
	next, err := move(m.doc, w.Table, w.Index, by)
	if err != nil {
		m.note = words.Capital(clean(err))
		return m, nil
	}
	m, cmd := m.change(next)
	w.Index += by
	return m.goTo(w), cmd
}

// goTo chooses the line of a place, or the first of its table.
func (m Model) goTo(w prop.Where) Model {
	first := -1
	for i, l := range m.lines {
		switch {
		case l.head != "" || l.where.Table != w.Table || l.where.Index != w.Index:
		case l.where == w || first < 0:
			first = i
		}
	}
	if first >= 0 {
		m.at = first
		m.showFigures()
	}
	return m
}
