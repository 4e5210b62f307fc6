package check

import (
	"errors"
	"os"
	"path/filepath"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
)

// A recording is how far the bench record of the last check-out is.
type recording struct {
	busy    bool
	done    string         // the file the last entry is in
	why     string         // why it is not recorded yet
	pending []record.Entry // not on disk yet
	ends    bool           // a check-out is among them, so what was kept of it is superfluous
}

// recordedMsg is what became of entries that were to be recorded.
type recordedMsg struct {
	path   string
	left   []record.Entry // not written
	err    error
	before string // unfinished check-out that is now superfluous
}

var errNoFile = errors.New("this prop has no file")

// record writes the entry of the check-out that has just ended.
func (m Model) record() (Model, tea.Cmd) {
	e := record.FromCheckout(m.sub, m.st.asked, m.st.findings, m.st.left)
	e.PropFile = m.text
	e.Findings = append(e.Findings, m.mended...)
	if m.part >= 0 {
		e.Test, e.Only = record.RunTest, partName(m.prop, m.part)
		e.Notes = where(m.prop, m.part)
		for i := range e.Findings {
			if e.Findings[i].Pixel > 0 {
				e.Findings[i].Pixel += m.first // counted in the whole prop
			}
		}
	}
	m.rec.ends = true
	return m.enter(e)
}

// enter puts an entry into the record beside the prop file.
func (m Model) enter(e record.Entry) (Model, tea.Cmd) {
	e.At, e.Ringout = m.opt.Now(), m.opt.Version
	m.rec.done, m.rec.why = "", ""
	m.rec.pending = append(m.rec.pending[:len(m.rec.pending):len(m.rec.pending)], e)
	if m.path == "" {
		m.rec.why = sentence(errNoFile)
		return m, nil
	}
	return m.write(record.Beside(m.path))
}

// write appends all entries that wait.
func (m Model) write(f record.File) (Model, tea.Cmd) {
	if m.rec.busy || len(m.rec.pending) == 0 {
		return m, nil
	}
	entries := m.rec.pending
	m.rec.busy, m.rec.pending = true, nil
	keeper, job, before := m.keeper, m.job, ""
	if m.rec.ends {
		before = m.keepPath()
	}
	return m, func() tea.Msg {
		msg := recordedMsg{path: f.Path}
		for i, e := range entries {
			if msg.err = f.Append(e); msg.err != nil {
				msg.left = entries[i:]
				return msg
			}
		}
		if before != "" {
			keeper.drop(job, before)
			msg.before = before
		}
		return msg
	}
}

// recorded takes what became of them.
func (m Model) recorded(msg recordedMsg) (Model, tea.Cmd) {
	m.rec.busy = false
	if msg.err != nil {
		m.rec.pending = append(msg.left[:len(msg.left):len(msg.left)], m.rec.pending...)
		m.rec.why = sentence(msg.err)
		return m, nil
	}
	m.rec.done, m.rec.why = msg.path, ""
	m.rec.ends = m.rec.ends && len(m.rec.pending) > 0
	if msg.before != "" && msg.before == m.keepPath() && !(m.under() && m.st.more) {
		m.kept = kept{}
	}
	return m, screen.Ask(screen.RecordedMsg{Path: msg.path})
}

// sayRecord is one sentence about the record.
func (m Model) sayRecord() string {
	switch {
	case m.rec.busy:
		return "Recording."
	case m.rec.why != "" && m.demo && m.path == "":
		return "Not recorded: a demo has no file. w records it in one."
	case m.rec.why != "":
		return "Not recorded: " + strings.TrimSuffix(m.rec.why, ".") + ". w records it elsewhere; until then it is kept in memory only."
	case m.rec.done != "":
		return "Recorded in " + m.rec.done + "."
	}
	return ""
}

// askWhere lets the builder type another file.
func (m Model) askWhere() Model {
	if len(m.rec.pending) == 0 {
		m.note = "Nothing waits to be recorded."
		return m
	}
	name := fileName(m.prop.Name) + ".bench.jsonl"
	if home, err := os.UserHomeDir(); err == nil {
		name = filepath.Join(home, name)
	}
	m.entering = enteringOf("Record in the file", pathLine, name)
	return m
}

// mendOf is what is noted of a finding that was put right.
func mendOf(p *prop.Prop, f checkout.Finding, asked []checkout.Asked) []record.Finding {
	found := record.FromCheckout(p, asked, []checkout.Finding{f}, false).Findings
	for i := range found {
		found[i].Fixed = true
	}
	return found
}
