package check

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// A plan is what the prop file would become.
type plan struct {
	path     string
	old, new *prop.Document
	diff     []prop.DiffLine
	busy     bool
	from     page // to go back to
}

// plannedMsg is the prop file with what was found written into it.
type plannedMsg struct {
	plan plan
	err  error
}

// takenMsg is the prop as it was saved.
type takenMsg struct {
	prop *prop.Prop
	path string
	err  error
}

// takeOver works out what the prop file would become; nothing is saved yet.
func (m Model) takeOver() (Model, tea.Cmd) {
	found, why := m.asBuilt()
	switch m.page {
	case countedPage:
		found, why = m.asCounted()
	case drilledPage:
		found, why = m.asDrilled()
	}
	switch {
	case why != "":
		m.note = why
		return m, nil
	case m.path == "":
		m.note = "This prop has no file to take it over into: write one with ringout new, and check it again."
		return m, nil
	case m.plan.busy:
		return m, nil
	}
	m.plan = plan{busy: true}
	path, from := m.path, m.page
	return m, func() tea.Msg {
		_, doc, err := prop.Load(path)
		if err != nil {
			return plannedMsg{err: err}
		}
		next, err := doc.TakeOver(found)
		if err != nil {
			return plannedMsg{err: err}
		}
		return plannedMsg{plan: plan{path: path, from: from, old: doc, new: next, diff: prop.Diff(doc.Text(), next.Text())}}
	}
}

// asBuilt is what the finding says of how the prop was built, or why it says
// nothing.
func (m Model) asBuilt() (prop.Found, string) {
	switch {
	case m.part >= 0:
		return prop.Found{}, "One run was checked alone: check the whole prop to correct its plan."
	case len(m.st.findings) == 0 || m.st.findings[0].Good:
		return prop.Found{}, "The prop is as planned: there is nothing to take over."
	case !m.st.findings[0].Sure.Firm():
		return prop.Found{}, "It is not settled what is true: answer more questions first."
	case len(m.st.findings[0].Causes) == 0:
		return prop.Found{}, "There is nothing in it that the plan could follow."
	}
	found, ok := checkout.AsBuilt(m.sub, m.st.findings[0].Causes[0].Faults)
	if !ok {
		return prop.Found{}, "This has to be mended on the prop: it is nothing the plan could follow."
	}
	return found, ""
}

// asCounted is what a count says of a prop of one run.
func (m Model) asCounted() (prop.Found, string) {
	n := m.call.numbers
	switch {
	case len(n) != 1:
		return prop.Found{}, "The count is not settled."
	case n[0] == m.prop.Pixels():
		return prop.Found{}, "The prop file says so already."
	case len(m.prop.Runs) > 1:
		return prop.Found{}, "A count does not say in which run it differs: a check-out does."
	}
	return prop.Found{Pixels: map[int]int{0: n[0]}}, ""
}

// asDrilled is the colour order that a bulb's slots turned out to have.
func (m Model) asDrilled() (prop.Found, string) {
	o, err := prop.ParseOrder(m.drilled.entry.Order)
	if err != nil || o == m.prop.Chip.Order {
		return prop.Found{}, "There is nothing in it that the plan could follow."
	}
	return prop.Found{Order: o}, ""
}

// planned shows the difference.
func (m Model) planned(msg plannedMsg) Model {
	m.plan = msg.plan
	if msg.err != nil {
		m.note = sentence(msg.err)
		return m
	}
	if m.plan.old.Text() == m.plan.new.Text() {
		m.note = "The prop file says so already."
		return m
	}
	m.page, m.scroll = planPage, 0
	return m
}

// saveIt writes the prop file, if nobody else has meanwhile.
func (m Model) saveIt() (Model, tea.Cmd) {
	p := m.plan
	if p.new == nil || p.busy {
		return m, nil
	}
	m.plan.busy = true
	return m, func() tea.Msg {
		_, now, err := prop.Load(p.path)
		if now == nil || now.Text() != p.old.Text() {
			if err == nil {
				err = fmt.Errorf("%s was changed meanwhile: nothing was saved, take it over once more", p.path)
			}
			return takenMsg{err: err}
		}
		if err := p.new.Save(p.path); err != nil {
			return takenMsg{err: err}
		}
		return takenMsg{prop: p.new.Prop(), path: p.path}
	}
}

// taken connects the prop as it now stands in its file.
func (m Model) taken(msg takenMsg) (Model, tea.Cmd) {
	m.plan.busy = false
	m.page = m.plan.from
	if msg.err != nil {
		m.note = sentence(msg.err)
		return m, nil
	}
	m.plan = plan{}
	m.note = "Saved: the prop is connected as its file now has it."
	return m, screen.Ask(screen.UseMsg{Prop: msg.prop, Path: msg.path})
}

// planView is the difference, with three lines around each change.
func (m Model) planView(width, height int) []string {
	const around = 3
	lines := []string{m.style.Strong.Render(" This would change in " + style.Clean(m.plan.path)), ""}
	last := -1
	for i, d := range m.plan.diff {
		if !near(m.plan.diff, i, around) {
			continue
		}
		if last >= 0 && i > last+1 {
			lines = append(lines, m.style.Quiet.Render("  …"))
		}
		last = i
		text := fmt.Sprintf(" %c %4d  %s", d.Op, d.Line, style.Clean(d.Text))
		switch d.Op {
		case '-':
			text = m.style.Warn.Render(text)
		case '+':
			text = m.style.Good.Render(text)
		default:
			text = m.style.Quiet.Render(text)
		}
		lines = append(lines, text)
	}
	return m.scrolled(lines, width, height)
}

func near(diff []prop.DiffLine, at, around int) bool {
	for i := max(0, at-around); i <= min(len(diff)-1, at+around); i++ {
		if diff[i].Op != ' ' {
			return true
		}
	}
	return false
}
