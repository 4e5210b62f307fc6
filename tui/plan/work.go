package plan

import (
	"reflect"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
)

// workedMsg is a plan, or why there is none.
type workedMsg struct {
	serial int
	plan   *plan.Plan
	err    error
}

// restedMsg comes when the figures may have rested long enough.
type restedMsg struct{ edits int }

// work has the plan worked out. Only one is worked out at a time: what changes
// meanwhile waits, and only the newest of it is taken up.
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

// restFrom waits for the figures to rest, if the show has others.
func (m Model) restFrom() tea.Cmd {
	if m.connected != nil && m.same(m.connected, m.doc.Prop()) {
		return nil
	}
	edits := m.edits
	return tea.Tick(m.rest, func(time.Time) tea.Msg { return restedMsg{edits} })
}

// connect asks the bench to drive the prop as it now is, if that is another.
func (m Model) connect() (Model, tea.Cmd) {
	if m.doc == nil || m.asked != nil {
		return m, nil
	}
	p := m.doc.Prop()
	if p == m.refused || m.connected != nil && m.same(m.connected, p) {
		return m, nil
	}
	m.asked = p
	return m, screen.Ask(screen.UseMsg{Prop: p})
}

// same compares a connected prop with one of ours. The simulated one listens
// at an address of its own.
func (m Model) same(connected, ours *prop.Prop) bool {
	c := *connected
	if m.demo {
		c.Address.Host, c.Address.Interface, c.Address.Port = ours.Address.Host, ours.Address.Interface, ours.Address.Port
	}
	return reflect.DeepEqual(&c, ours)
}

// ready takes the news of a prop: ours, or one from another screen, whose
// figures then go into the document.
func (m Model) ready(msg screen.ReadyMsg) (Model, tea.Cmd) {
	asked := m.asked
	m.connected, m.demo, m.asked = msg.Prop, msg.Demo, nil
	switch {
	case m.doc == nil:
		return m.open(msg.Prop)
	case m.same(msg.Prop, m.doc.Prop()):
		if m.plan == nil {
			return m.work()
		}
		return m, nil
	case asked != nil && m.same(msg.Prop, asked):
		return m.connect() // changed again meanwhile
	}
	return m.adopt(msg.Prop)
}

// open makes a document of a prop that came without a file.
func (m Model) open(p *prop.Prop) (Model, tea.Cmd) {
	_, d, err := prop.Parse([]byte(prop.FileText(p)), "the prop")
	if err != nil {
		m.failed = clean(err)
		return m, nil
	}
	m.path, m.saved = "", d.Text()
	m.undo, m.redo = nil, nil
	return m.with(d).work()
}

// adopt takes over what Set-up has changed. Another count of pixels is another
// strip: the document of before stays in the way back.
func (m Model) adopt(p *prop.Prop) (Model, tea.Cmd) {
	if next, ok := merged(m.doc, p, m.demo); ok {
		return m.change(next)
	}
	_, d, err := prop.Parse([]byte(prop.FileText(p)), "the prop")
	if err != nil {
		m.failed = clean(err)
		return m, nil
	}
	m.note = "Set-up made another strip; u brings the figures of before back."
	return m.change(d)
}
