package record

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// readMsg is the content of the record file.
type readMsg struct {
	job     int
	history record.History
	text    string // the prop file today
	err     error
	kept    keptNote
}

// read reads the record again.
func (m Model) read() (Model, tea.Cmd) {
	if m.prop == nil || m.path == "" {
		return m, nil
	}
	m.job++
	m.reading = true
	job, path, name, folder := m.job, m.path, m.prop.Name, m.opt.Folder
	return m, func() tea.Msg {
		msg := readMsg{job: job}
		msg.history, msg.err = record.Beside(path).Read(name)
		if text, err := os.ReadFile(path); err == nil {
			msg.text = string(text)
		}
		msg.kept.File, msg.kept.Text = prop.UnsavedText(record.Beside(path).Path, folder)
		msg.kept.Text = style.Clean(msg.kept.Text)
		return msg
	}
}

// took uses the content read. If the newest entry was chosen, the newest one is again.
func (m Model) took(msg readMsg) Model {
	if msg.job != m.job {
		return m
	}
	newest := m.at >= len(m.history.Entries)-1 && m.isList()
	m.reading, m.failed = false, ""
	m = m.found(msg.kept)
	if msg.err != nil {
		m.failed = sentence(msg.err)
		return m
	}
	m.history = msg.history
	m.due = m.history.Due(msg.text, m.opt.Now())
	last := len(m.history.Entries) - 1
	if newest || m.at > last {
		m.at = last
	}
	shown := append(slices.Clone(m.marks), m.page.compared()...)
	if slices.ContainsFunc(shown, func(i int) bool { return i > last }) { // another program has shortened the file
		m.marks, m.page = nil, listPage{}
	}
	if last < 0 {
		m.page = listPage{}
	}
	return m
}

var errNoFile = errors.New("this prop has no file for the record to lie beside")

// wroteMsg is the result of writing notes.
type wroteMsg struct {
	path string
	left []record.Entry // not written
	err  error
}

// heldMsg is a record that another program has locked.
type heldMsg string

// record keeps a note and writes it beside the prop file.
func (m Model) record(text string) (Model, tea.Cmd) {
	e := record.Entry{Kind: "note", At: m.opt.Now().Truncate(time.Second), Prop: m.prop.Name, Ringout: m.opt.Version, Notes: text}
	m.pending = append(m.pending[:len(m.pending):len(m.pending)], e)
	m.draft = ""
	if m.path == "" {
		m.why = sentence(errNoFile)
		return m, nil
	}
	return m.write(record.Beside(m.path))
}

// write appends all notes that wait.
func (m Model) write(f record.File) (Model, tea.Cmd) {
	if m.busy || len(m.pending) == 0 {
		return m, nil
	}
	entries := m.pending
	m.busy, m.pending, m.writing = true, nil, entries
	return m, screen.Waiting(func(waits func()) tea.Msg {
		for i, e := range entries {
			if err := f.AppendAfter(e, waits); err != nil {
				return wroteMsg{path: f.Path, left: entries[i:], err: err}
			}
		}
		return wroteMsg{path: f.Path}
	}, heldMsg(f.Path))
}

func (m Model) wrote(msg wroteMsg) (Model, tea.Cmd) {
	m.busy, m.writing, m.held = false, nil, ""
	if msg.err != nil {
		m.pending = append(msg.left[:len(msg.left):len(msg.left)], m.pending...)
		m.why = sentence(msg.err)
		return m, nil
	}
	m.why = ""
	m = m.say("Recorded in "+style.Clean(msg.path)+".", false)
	m, gone := m.settled()
	if m.path == "" || msg.path != record.Beside(m.path).Path {
		return m, gone
	}
	m, read := m.read()
	return m, func() tea.Msg {
		if gone != nil {
			gone() // first, so that a recorded note is not offered again
		}
		return read()
	}
}

// sheetMsg is the result of writing the bench sheet.
type sheetMsg struct {
	path  string
	err   error
	place bool // the place can't be written; another one may do
}

// sheet makes the bench sheet beside the prop file, or asks where.
func (m Model) sheet() (Model, tea.Cmd) {
	if m.path == "" {
		return m.askSheet(), nil
	}
	return m.writeSheet(record.SheetBeside(m.path))
}

// writeSheet makes the sheet from the file on disk, or from the prop on the bench when it
// has no file.
func (m Model) writeSheet(to string) (Model, tea.Cmd) {
	if m.busy {
		return m, nil
	}
	m.busy = true
	p, path, version, now := m.prop, m.path, m.opt.Version, m.opt.Now()
	return m, func() tea.Msg {
		page, err := pageOf(p, path, version, now)
		if err != nil {
			return sheetMsg{path: to, err: err}
		}
		return sheetMsg{path: to, err: record.WriteSheet(to, record.AnyPaper, page), place: true}
	}
}

// pageOf puts the sheet's page together.
func pageOf(p *prop.Prop, path, version string, now time.Time) (record.Page, error) {
	var h record.History
	if path != "" {
		saved, _, err := prop.Load(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return record.Page{}, fmt.Errorf("%s is gone: save the prop on the Prop page first", path)
		case err != nil:
			return record.Page{}, err
		}
		p = saved
		if h, err = record.Beside(path).Read(p.Name); err != nil {
			return record.Page{}, err
		}
	}
	return record.NewPage(p, h, now, version)
}

func (m Model) sheetDone(msg sheetMsg) Model {
	m.busy = false
	switch {
	case msg.err == nil:
		return m.say("Bench sheet written to "+style.Clean(msg.path)+". Open it in a browser to print it.", false)
	case msg.place && m.typing == nil:
		m = m.askSheet()
		return m.say("The sheet can't be written there: "+sentence(msg.err), true)
	}
	return m.say("No sheet: "+sentence(msg.err), true)
}

// sentence is an error fit for the screen.
func sentence(err error) string { return style.Clean(err.Error()) }
