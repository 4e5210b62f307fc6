package check

import (
	"errors"
	"os"
	"path/filepath"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/record"
	"example.org/ringout/internal/underway"
	"example.org/ringout/tui/screen"
)

// A recording is the state of the writing of the bench record.
type recording struct {
	busy    bool
	held    string                   // the file that another program has locked
	done    string                   // the file with the last entry
	why     string                   // why it is not recorded yet
	pending []record.Entry           // not on disk yet
	ends    []record.UnfinishedCheck // unfinished checks to remove once they are
}

// heldMsg is a record that another program has locked.
type heldMsg string

// recordedMsg is the result of a write to the record.
type recordedMsg struct {
	desk *underway.Desk
	path string
	left []record.Entry // not written
	ends []record.UnfinishedCheck
	kept []record.UnfinishedCheck
	err  error
}

var errNoFile = errors.New("this prop has no file")

// enter writes entries into the record beside the prop file, and then removes what was
// kept unfinished of them.
func (m Model) enter(of record.UnfinishedCheck, all ...record.Entry) (Model, tea.Cmd) {
	m.rec.done, m.rec.why = "", ""
	m.rec.pending = append(m.rec.pending[:len(m.rec.pending):len(m.rec.pending)], all...)
	m.rec.ends = append(m.rec.ends[:len(m.rec.ends):len(m.rec.ends)], of)
	if m.bench.path != "" {
		return m.write(record.Beside(m.bench.path))
	}
	m.rec.why = sentence(errNoFile)
	if m.desk.File() == "" { // there is no record after which it would be removed
		return m.forget(of)
	}
	return m, nil
}

// forget removes a kept check, in a command.
func (m Model) forget(of record.UnfinishedCheck) (Model, tea.Cmd) {
	m.work.save++
	desk, number := m.desk, m.work.save
	return m, func() tea.Msg {
		err := desk.Forget(number, of)
		desk.Release()
		kept, _ := desk.Kept()
		return keptMsg{desk: desk, kept: kept, err: err}
	}
}

// write appends all entries that wait.
func (m Model) write(f record.File) (Model, tea.Cmd) {
	if m.rec.busy || len(m.rec.pending) == 0 {
		return m, nil
	}
	m.work.save++
	entries, ends, desk, number := m.rec.pending, m.rec.ends, m.desk, m.work.save
	m.rec.busy, m.rec.pending, m.rec.ends = true, nil, nil
	return m, screen.Waiting(func(waits func()) tea.Msg {
		msg := recordedMsg{desk: desk, path: f.Path, ends: ends}
		if msg.left, msg.err = desk.Record(f, entries, waits); msg.err != nil {
			return msg
		}
		for _, u := range ends {
			msg.err = errors.Join(msg.err, desk.Forget(number, u))
		}
		desk.Release()
		msg.kept, _ = desk.Kept()
		return msg
	}, heldMsg(f.Path))
}

// recorded stores the result of a write.
func (m Model) recorded(msg recordedMsg) (Model, tea.Cmd) {
	m.rec.busy, m.rec.held = false, ""
	if len(msg.left) > 0 {
		m.rec.pending = append(msg.left[:len(msg.left):len(msg.left)], m.rec.pending...)
		m.rec.ends = append(msg.ends[:len(msg.ends):len(msg.ends)], m.rec.ends...)
		m.rec.why = sentence(msg.err)
		return m, nil
	}
	m.rec.done, m.rec.why = msg.path, ""
	if msg.desk == m.desk {
		m.kept = msg.kept
	}
	return m, screen.Ask(screen.RecordedMsg{Path: msg.path})
}

// sayRecord is one sentence on the state of the record, its keys between backquotes; empty
// for none.
func sayRecord(m Model) string {
	name := func(file string) string { return strings.ReplaceAll(file, "`", "'") } // no key
	switch {
	case m.rec.held != "":
		return "Waiting for " + name(m.rec.held) + ", which another program holds: it is recorded once that lets go."
	case m.rec.busy:
		return "Recording."
	case m.rec.why != "" && m.bench.demo && m.bench.path == "":
		return "Not recorded: the prop is simulated. `w` records it in a file."
	case m.rec.why != "":
		return "Not recorded: " + strings.TrimSuffix(name(m.rec.why), ".") + ". `w` records it elsewhere; until then it is kept in memory only."
	case m.rec.done != "":
		return "Recorded in " + name(m.rec.done) + "."
	}
	return ""
}

// askWhere lets the builder type another file.
func askWhere(m Model) Model {
	if len(m.rec.pending) == 0 {
		m.note = "Nothing waits to be recorded."
		return m
	}
	name := underway.FileName(m.bench.prop.Name) + ".bench.jsonl"
	if home, err := os.UserHomeDir(); err == nil {
		name = filepath.Join(home, name)
	}
	return m.ask("Record in the file", pathLine, name, func(m Model, text string) (Model, tea.Cmd) {
		return m.write(record.File{Path: text})
	})
}
