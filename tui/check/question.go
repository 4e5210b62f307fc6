package check

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// questionPage is a probe of the check-out with its answers.
type questionPage struct {
	basePage
	list choice
}

func (questionPage) shows(m Model) show.Want { return probeLight(m) }

func (questionPage) traits(Model) traits { return traits{asks: true} }

func (questionPage) pictures(m Model) pictures {
	return pictures{open: true, marks: m.st.probe.Look, expected: m.st.probe.Spec.Expected}
}

// probeLight is the light of the probe to be answered; dark when there is none.
func probeLight(m Model) show.Want {
	if !m.st.more {
		return show.Want{}
	}
	return show.Want{Frames: moved(m.st.probe.Show, m.of.first, m.of.sub.Pixels())}
}

// lift is the level of a probe that needs more light, see checkout.Spec.Bright.
func (questionPage) lift(m Model) float64 {
	if m.st.more && m.st.probe.Spec.Bright() {
		return m.st.probe.Level
	}
	return 0
}

func (p questionPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	answers := m.st.probe.Answers
	if at, ok := p.list.moved(m, k, len(questionQuery(m).items)); ok {
		p.list = at
		m.page = p
		return m, nil, true
	}
	if m.st.more {
		if given, ok := checkout.Pressed(answers, k.String()); ok {
			m, cmd := p.take(m, lineOf(given, len(answers)))
			return m, cmd, true
		}
	}
	is := func(b key.Binding) bool { return key.Matches(k, b) }
	switch {
	case is(m.keys.Digit):
		m.note = "There is no such answer here."
	case is(m.keys.Take) && p.list == none:
		m.note = "Choose an answer first, by its key or with ↑ ↓."
	case is(m.keys.Take):
		m, cmd := p.take(m, int(p.list))
		return m, cmd, true
	case is(m.keys.Change) && m.under() && !m.work.busy:
		return seeEarlier(m, p), nil, true
	case is(m.keys.All) && len(m.st.suspects) > 0:
		m.page, m.turn = suspectsPage{from: p, turn: m.turn}, 0
	case is(m.keys.Stop):
		m, cmd := m.stop()
		return m, cmd, true
	default:
		return m, nil, false
	}
	return m, nil, true
}

// lineOf is the line of an answer's key in the list: "not sure" comes last.
func lineOf(given, answers int) int {
	if given == checkout.NotSure {
		return answers
	}
	return given - 1
}

// take answers by a line.
func (questionPage) take(m Model, i int) (Model, tea.Cmd) {
	if m.work.busy || !m.st.more {
		return m, nil // the next question is not on the screen yet
	}
	return m.answer((i + 1) % (len(m.st.probe.Answers) + 1))
}

func (questionPage) back(m Model) (Model, tea.Cmd) {
	if !m.under() {
		return m.toStart(), nil
	}
	return m.takeBack()
}

func (p questionPage) help(m Model) []key.Binding {
	if !m.st.more {
		return []key.Binding{screen.Hint(m.keys.Leave, "esc", "start")}
	}
	keys := []key.Binding{m.keys.answering(presses(questionQuery(m).items), m.size.Width)}
	if len(m.st.asked) > 0 {
		keys = append(keys, screen.Hint(m.keys.Back, "←", "back"), screen.Hint(m.keys.Change, "e", "change"))
	}
	if m.turns() {
		keys = append(keys, screen.Hint(m.keys.View, "v", "drawing"))
	}
	if len(m.st.suspects) > 0 {
		keys = append(keys, screen.Hint(m.keys.All, "a", "more"))
	}
	return append(keys, screen.Hint(m.keys.Stop, "x", "end here"), screen.Hint(m.keys.Brighter, "+", "brighter"), m.keys.Off)
}

func (p questionPage) lines(m Model, width, height int) ([]string, []zone) {
	return asking(m, questionQuery(m), int(p.list), width, height)
}

func questionQuery(m Model) query {
	open := func(width, rows int) []string { return openLines(m.style, m.st.suspects, width, rows) }
	if !m.st.more {
		return query{progress: progress(m), side: open}
	}
	p := m.st.probe
	return query{progress: progress(m), large: p.Spec.Large(), question: style.Clean(p.Question), hint: style.Clean(p.Hint), items: answerItems(m, p.Answers), side: open}
}
