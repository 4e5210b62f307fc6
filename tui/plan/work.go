package plan

import (
	"reflect"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
)

// workedMsg is a plan, or the reason why there is none.
type workedMsg struct {
	serial int
	plan   *plan.Plan
	err    error
}

// restedMsg arrives when the figures may have been unchanged long enough.
type restedMsg struct{ edits int }

// work computes the plan in a command. Only one command runs at a time; after it the
// newest figures are used.
func (m Model) work() (Model, tea.Cmd) {
	m.serial++
	if m.working || m.doc == nil {
		return m, nil
	}
	m.working = true
	return m, m.compute()
}

func (m Model) compute() tea.Cmd {
	serial, p, level, colour, was := m.serial, m.doc.Prop(), m.level, m.colourNow().Colour, m.plan
	return func() tea.Msg {
		if was != nil && was.Prop == p && was.Power.Colour == colour {
			pl, err := was.At(level)
			return workedMsg{serial, pl, err}
		}
		pl, err := plan.For(p, level, colour)
		return workedMsg{serial, pl, err}
	}
}

func (m Model) worked(msg workedMsg) (Model, tea.Cmd) {
	m.working, m.planOf, m.failed = false, msg.serial, ""
	if msg.err != nil {
		m.failed = clean(msg.err)
	} else {
		m.plan = msg.plan
	}
	m.scroll = min(m.scroll, m.scrollMost())
	if msg.serial == m.serial {
		return m, nil
	}
	m.working = true
	return m, m.compute()
}

// restFrom waits until the figures do not change, if they differ from the show's.
func (m Model) restFrom() tea.Cmd {
	if m.isConnected() {
		return nil
	}
	edits := m.edits
	return tea.Tick(m.rest, func(time.Time) tea.Msg { return restedMsg{edits} })
}

func (m Model) isConnected() bool {
	return m.connected != nil && (m.from == m.path || m.standIn) && m.same(m.connected, m.doc.Prop())
}

// connect asks the bench to connect the changed prop, if it differs.
func (m Model) connect() (Model, tea.Cmd) {
	if m.doc == nil || m.asked != nil {
		return m, nil
	}
	p := m.doc.Prop()
	if p == m.refused || m.isConnected() {
		return m, nil
	}
	m.asked = p
	return m, screen.Ask(screen.UseMsg{Prop: p, Path: m.path})
}

// same reports whether a connected prop equals one of this screen, apart from the host of a
// simulated one.
func (m Model) same(connected, ours *prop.Prop) bool {
	c := *connected
	if m.demo {
		c.Address.Host, c.Address.Interface, c.Address.Port = ours.Address.Host, ours.Address.Interface, ours.Address.Port
	}
	return reflect.DeepEqual(&c, ours)
}

// ready handles the connection of a prop, from this or another screen.
func (m Model) ready(msg screen.ReadyMsg) (Model, tea.Cmd) {
	asked := m.asked
	m.connected, m.from, m.demo, m.standIn, m.asked = msg.Prop, msg.Path, msg.Demo, msg.StandIn, nil
	switch {
	case m.doc != nil && m.same(msg.Prop, m.doc.Prop()) && (msg.Path == m.path || msg.Path == ""):
		m, cmd := m.connect() // again with its file's name, if it had none yet
		if m.plan == nil {
			var work tea.Cmd
			m, work = m.work()
			return m, tea.Batch(cmd, work)
		}
		return m, cmd
	case m.doc != nil && asked != nil && m.same(msg.Prop, asked):
		return m.connect() // the figures have changed meanwhile
	case msg.Path != "":
		return m, load(msg.Prop, msg.Path)
	}
	return m.adopt(msg.Prop)
}

// loadedMsg is the file of a prop that another screen has connected.
type loadedMsg struct {
	prop *prop.Prop
	path string
	doc  *prop.Document // nil when it cannot be read
}

func load(p *prop.Prop, path string) tea.Cmd {
	return func() tea.Msg {
		_, d, err := prop.Load(path)
		if err != nil {
			d = nil
		}
		return loadedMsg{p, path, d}
	}
}

// loaded replaces the document by the file, if the connected prop is that of the file: the
// check-out may have written it. Unsaved changes can be restored with undo.
func (m Model) loaded(msg loadedMsg) (Model, tea.Cmd) {
	if msg.prop != m.connected {
		return m, nil // another prop was connected meanwhile
	}
	if msg.doc == nil || !m.same(msg.prop, msg.doc.Prop()) {
		return m.adopt(msg.prop)
	}
	lost := m.changed()
	m, cmd := m.take(msg.doc, msg.path)
	if lost {
		m.note = m.fileName() + " was written meanwhile and is shown as it is; `u` brings your own changes back."
	}
	return m, cmd
}

// take replaces the document and its file.
func (m Model) take(d *prop.Document, path string) (Model, tea.Cmd) {
	m.editing, m.naming, m.bad = false, false, ""
	if m.doc != nil {
		m.undo = append(m.undo[max(0, len(m.undo)-maxUndo):len(m.undo):len(m.undo)], m.state())
		m.redo = nil
	}
	m.path, m.saved = path, d.Text()
	return m.have(d)
}

// adopt takes figures over from another screen: into the document if the prop is the same
// otherwise, else as a prop without a file.
func (m Model) adopt(p *prop.Prop) (Model, tea.Cmd) {
	if m.doc != nil {
		if next, ok := merged(m.doc, p, m.demo); ok {
			return m.change(next)
		}
	}
	_, d, err := prop.Parse([]byte(prop.FileText(p)), "the prop")
	if err != nil {
		m.failed = clean(err)
		return m, nil
	}
	had := m.doc != nil
	m, cmd := m.take(d, "")
	if had {
		m.note = "Set-up made another strip; `u` brings the figures of before back."
	}
	return m, cmd
}
