package check

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// planPage is what the prop file would become.
type planPage struct {
	basePage
	scroll   scroll
	path     string
	old, new *prop.Document
	diff     []prop.DiffLine
	from     page // to go back to
}

// plannedMsg is the prop file with what was found written into it.
type plannedMsg struct {
	job  int
	plan planPage
	err  error
}

// takenMsg is the prop as it was saved.
type takenMsg struct {
	prop *prop.Prop
	path string
	from page
	err  error
}

// takeOver works out what the prop file would become; nothing is saved yet. why
// is why there is nothing to take over.
func takeOver(m Model, found prop.Found, why string) (Model, tea.Cmd) {
	switch {
	case why != "":
		m.note = why
		return m, nil
	case m.bench.path == "":
		m.note = "This prop has no file to take it over into: write one with ringout new, and check it again."
		return m, nil
	case m.work.busy:
		return m, nil
	}
	m.work.job, m.work.busy = m.work.job+1, true
	path, from, job := m.bench.path, m.page, m.work.job
	return m, func() tea.Msg {
		_, doc, err := prop.Load(path)
		if err != nil {
			return plannedMsg{job: job, err: err}
		}
		next, err := doc.TakeOver(found)
		if err != nil {
			return plannedMsg{job: job, err: err}
		}
		return plannedMsg{job: job, plan: planPage{path: path, from: from, old: doc, new: next, diff: prop.Diff(doc.Text(), next.Text())}}
	}
}

// planned shows the difference.
func planned(m Model, msg plannedMsg) Model {
	if msg.job != m.work.job {
		return m
	}
	m.work.busy = false
	switch {
	case msg.err != nil:
		m.note = sentence(msg.err)
	case msg.plan.old.Text() == msg.plan.new.Text():
		m.note = "The prop file says so already."
	default:
		m.page = msg.plan
	}
	return m
}

func (p planPage) leave(m Model) Model           { m.page = p.from; return m }
func (p planPage) back(m Model) (Model, tea.Cmd) { return p.leave(m), nil }
func (p planPage) loses() bool                   { return true }

func (p planPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	if at, ok := p.scroll.moved(m, k, len(p.diff)+2, m.size.Height); ok {
		p.scroll = at
		m.page = p
		return m, nil, true
	}
	if key.Matches(k, m.keys.Take) && !m.work.busy {
		m, cmd := p.save(m)
		return m, cmd, true
	}
	return m, nil, false
}

func (p planPage) help(m Model) []key.Binding {
	return []key.Binding{say(m.keys.Take, "enter", "save it"), say(m.keys.Leave, "esc", "leave it")}
}

// save writes the prop file, if nobody else has meanwhile.
func (p planPage) save(m Model) (Model, tea.Cmd) {
	m.work.busy = true
	return m, func() tea.Msg {
		_, now, err := prop.Load(p.path)
		if now == nil || now.Text() != p.old.Text() {
			if err == nil {
				err = fmt.Errorf("%s was changed meanwhile: nothing was saved, take it over once more", p.path)
			}
			return takenMsg{from: p.from, err: err}
		}
		if err := p.new.Save(p.path); err != nil {
			return takenMsg{from: p.from, err: err}
		}
		return takenMsg{prop: p.new.Prop(), path: p.path, from: p.from}
	}
}

// taken connects the prop as it now stands in its file.
func taken(m Model, msg takenMsg) (Model, tea.Cmd) {
	m.work.busy = false
	m.page = msg.from
	if msg.err != nil {
		m.note = sentence(msg.err)
		return m, nil
	}
	m.note = "Saved. The bench now uses the file as it is."
	return m, screen.Ask(screen.UseMsg{Prop: msg.prop, Path: msg.path})
}

// lines is the difference, with three lines around each change.
func (p planPage) lines(m Model, width, height int) ([]string, []zone) {
	const around = 3
	name := style.Clean(p.path)
	if ansi.StringWidth(name) > width-24 {
		name = style.Clean(filepath.Base(p.path))
	}
	lines := []string{"  " + m.style.Strong.Render("This would change in "+name), ""}
	last := -1
	for i, d := range p.diff {
		if !near(p.diff, i, around) {
			continue
		}
		if last >= 0 && i > last+1 {
			lines = append(lines, m.style.Quiet.Render("   …"))
		}
		last = i
		look := m.style.Quiet
		switch d.Op {
		case '-':
			look = m.style.Warn
		case '+':
			look = m.style.Good
		}
		head := fmt.Sprintf("  %c %4d  ", d.Op, d.Line)
		for _, l := range style.Wrap(style.Clean(d.Text), width-len(head)-edge) {
			lines = append(lines, look.Render(head+l))
			head = strings.Repeat(" ", len(head))
		}
	}
	for _, l := range portrait.Words(m.style, width-2*edge, height-len(lines), "Enter saves it") {
		lines = append(lines, strings.Repeat(" ", edge)+l)
	}
	return scrolled(m.style, lines, p.scroll, width, height), nil
}

func near(diff []prop.DiffLine, at, around int) bool {
	for i := max(0, at-around); i <= min(len(diff)-1, at+around); i++ {
		if diff[i].Op != ' ' {
			return true
		}
	}
	return false
}
