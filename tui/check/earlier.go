package check

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/screen"
)

// earlierPage is the list of questions so far, to change an answer.
type earlierPage struct {
	basePage
	list choice
	from page
}

// seeEarlier opens that list.
func seeEarlier(m Model, from page) Model {
	if len(m.st.asked) == 0 {
		m.note = "Nothing has been answered yet."
		return m
	}
	m.page = earlierPage{list: choice(len(m.st.asked) - 1), from: from}
	return m
}

// traits: a list of one line has no choice, so arrows scroll.
func (earlierPage) traits(m Model) traits           { return traits{scrolls: len(m.st.asked) < 2} }
func (p earlierPage) shows(m Model) show.Want       { return probeLight(m) }
func (p earlierPage) leave(m Model) Model           { m.page = p.from; return m }
func (p earlierPage) back(m Model) (Model, tea.Cmd) { return p.leave(m), nil }

func (p earlierPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	if at, ok := p.list.moved(m, k, len(m.st.asked)); ok {
		p.list = at
		m.page = p
		return m, nil, true
	}
	i, note, ok := p.list.picked(m, k, len(m.st.asked))
	if m.note = note; !ok || i == none {
		return m, nil, ok
	}
	m, cmd := p.take(m, i)
	return m, cmd, true
}

func (p earlierPage) take(m Model, i int) (Model, tea.Cmd) {
	a := m.st.asked[i]
	m.page = changePage{from: p, asked: a, list: choice(lineOf(a.Given, len(a.Answers)))}
	return m, nil
}

func (p earlierPage) help(m Model) []key.Binding {
	return append(m.keys.choosing(len(m.st.asked)), screen.Hint(m.keys.Leave, "esc", "back"))
}

// items are the questions with their answers. In large letters they ask: alone, an answer
// would be taken for a verdict.
func (earlierPage) items(m Model) (out []item) {
	for _, a := range m.st.asked {
		digit := a.ID
		if digit > 9 {
			digit = none
		}
		out = append(out, item{digit: digit, text: fmt.Sprintf("%s You said %s", a.Question, m.style.Accent.Render(a.Text())), far: givenFar(a) + "?",
			asks: []string{fmt.Sprintf("Answer %d wrong?", a.ID), fmt.Sprintf("%d wrong?", a.ID)}})
	}
	return out
}

func (p earlierPage) lines(m Model, width, height int) ([]string, []zone) {
	return m.titledBesideProp("Which answer was wrong?", p.items(m), int(p.list), width, height)
}

// farView is the questions by number, with the answers that were given.
func (p earlierPage) farView(m Model) screen.FarView {
	var items []item
	for _, a := range m.st.asked[:min(9, len(m.st.asked))] {
		items = append(items, item{digit: a.ID, far: givenFar(a)})
	}
	return screen.FarView{Texts: []string{"Which answer was wrong?", "Which was wrong?"}, Answers: farAnswers(items)}
}

// changePage is the answers of one earlier question.
type changePage struct {
	basePage
	list  choice
	from  earlierPage
	asked checkout.AnsweredQuestion
}

func (p changePage) shows(m Model) show.Want       { return probeLight(m) }
func (p changePage) leave(m Model) Model           { m.page = p.from; return m }
func (p changePage) back(m Model) (Model, tea.Cmd) { return p.leave(m), nil }

func (p changePage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	n := len(p.asked.Answers)
	if at, ok := p.list.moved(m, k, n+1); ok {
		p.list = at
		m.page = p
		return m, nil, true
	}
	given, ok := checkout.Pressed(p.asked.Answers, k.String())
	i := lineOf(given, n)
	switch {
	case ok:
	case key.Matches(k, m.keys.Take):
		i = int(p.list)
	case key.Matches(k, m.keys.Digit):
		m.note = "There is no such answer here."
		return m, nil, true
	default:
		return m, nil, false
	}
	m, cmd := p.take(m, i)
	return m, cmd, true
}

// take gives another answer to the question.
func (p changePage) take(m Model, i int) (Model, tea.Cmd) {
	m.past = nil // the states before belong to the old answer
	return m.changeSession(func(s *checkout.Session) error { return s.Change(p.asked.ID, (i+1)%(len(p.asked.Answers)+1)) })
}

func (p changePage) help(m Model) []key.Binding { return p.from.help(m) }

// items are the answers, which ask as those of an earlierPage do.
func (p changePage) items(m Model) []item {
	out := answerItems(m, p.asked.Answers)
	for i, it := range out {
		text := cmp.Or(it.far, beforePause(it.text)) + "?"
		out[i].asks = []string{it.press() + ": " + text, text}
	}
	return out
}

func (p changePage) lines(m Model, width, height int) ([]string, []zone) {
	title := fmt.Sprintf("%s You said %s. Choose the right answer.", p.asked.Question, strings.TrimSuffix(p.asked.Text(), "."))
	return m.titledBesideProp(title, p.items(m), int(p.list), width, height)
}

// farView is the answers to choose from.
func (p changePage) farView(m Model) screen.FarView {
	return screen.FarView{Texts: []string{"Which answer?"}, Answers: farAnswers(answerItems(m, p.asked.Answers))}
}

// givenFar is the answer that was given, in few words.
func givenFar(a checkout.AnsweredQuestion) string {
	for _, x := range a.Answers {
		if x.Key == a.Given {
			return farText(x)
		}
	}
	return "not sure"
}
