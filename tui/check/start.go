package check

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// A choice is a line of the start page and what it does.
type choice struct {
	text string
	do   func(Model) (Model, tea.Cmd)
}

// choices are the lines of the start page as things stand.
func (m Model) choices() []choice {
	if m.prop == nil {
		return nil
	}
	var out []choice
	add := func(text string, do func(Model) (Model, tea.Cmd)) { out = append(out, choice{text, do}) }
	switch {
	case m.under() && !m.st.over():
		add(fmt.Sprintf("Go on with the check-out, %s so far", count(len(m.st.asked), "answer")), Model.goOn)
	case m.under():
		add("See the findings once more", Model.seeFindings)
	}
	if n := len(m.kept.Log.Steps); n > 0 && !(m.under() && m.st.more) {
		what := "Take up the unfinished check-out"
		if m.kept.Alone {
			what += " of " + style.Clean(m.kept.Run)
		}
		add(fmt.Sprintf("%s: %s, %s", what, count(n, "answer"), m.kept.At.Format("2 January 15:04")), Model.resume)
	}
	add("Begin a check-out", func(m Model) (Model, tea.Cmd) { return m.begin(-1) })
	if len(m.prop.Sections()) > 0 {
		add("Check one run or part alone", func(m Model) (Model, tea.Cmd) {
			m.page, m.at = runsPage, 0
			return m, nil
		})
	}
	if m.prop.Pixels() == 1 {
		add("Find out what the bulb's slots do", func(m Model) (Model, tea.Cmd) {
			s, err := bulb.New(m.prop)
			return m.beginDrill(bulbDrill{s, m}, err), nil
		})
		return out
	}
	add("Flex test: bend every joint under steady light", func(m Model) (Model, tea.Cmd) {
		f, err := joints.NewFlex(m.prop)
		return m.beginDrill(flexDrill{f}, err), nil
	})
	add("Load test: measure volts as the level rises", func(m Model) (Model, tea.Cmd) {
		l, err := joints.NewLoad(m.prop, 1)
		return m.beginDrill(&loadDrill{p: m.prop, l: l}, err), nil
	})
	add("Roll call: count the pixels that light", func(m Model) (Model, tea.Cmd) { return m.beginCount(), nil })
	return out
}

func (m Model) goOn() (Model, tea.Cmd) {
	m.page, m.at = questionPage, none
	m = m.fresh()
	m.send()
	return m, nil
}

func (m Model) seeFindings() (Model, tea.Cmd) {
	m.page, m.scroll, m.turn = findingPage, 0, 0
	m.draw.found = sheet{} // another test may have marked its places since
	return m, nil
}

func (m Model) startItems() []item {
	var out []item
	for i, c := range m.choices() {
		out = append(out, item{digit: i + 1, text: c.text})
	}
	return out
}

func (m Model) runItems() []item {
	var out []item
	for part := range m.parts() {
		digit := part + 1
		if digit > 9 {
			digit = -1
		}
		out = append(out, item{digit: digit, text: m.partText(part)})
	}
	return out
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// startView is the page before a check-out, or the choice of a run.
func (m Model) startView(width, height int) (lines []string, zones []zone) {
	lines, zones = m.startLines(width, height, true)
	if len(lines) > height { // the cautions matter more than what a check-out is
		lines, zones = m.startLines(width, height, false)
	}
	return lines, zones
}

func (m Model) startLines(width, height int, intro bool) (lines []string, zones []zone) {
	if m.prop == nil {
		return []string{"", "  No prop yet: fill in Set-up."}, nil
	}
	add := func(text string, render func(...string) string) {
		for _, l := range style.Wrap(text, width-4) {
			lines = append(lines, "  "+render(l))
		}
	}
	plain := func(s ...string) string { return s[0] }
	title, items := "Check-out", m.startItems()
	if m.page == runsPage {
		title, items = "Which one?", m.runItems()
	}
	lines = append(lines, "")
	if width >= 110 && height >= 34 {
		for _, l := range digits.Words(title) {
			lines = append(lines, "  "+m.style.Accent.Render(l))
		}
	} else {
		add(title, m.style.Accent.Render)
	}
	lines = append(lines, "")
	if m.page == startPage && intro {
		add("One look, one answer, a few times over. At the end stands what is wrong, where, and what to do about it.", plain)
		lines = append(lines, "")
	}
	l, z := m.listed(items, m.at, min(width, 78), 1)
	zones = down(z, len(lines), 0)
	lines = append(lines, l...)
	lines = append(lines, "")
	if m.page == startPage {
		add("It lights the prop at 20 % to begin with. Do not look into it; power off before you solder or cut. The mains side is for licensed people, by local codes.", m.style.Quiet.Render)
	} else {
		text := "For a run that is not joined yet, connect its data to the output, and nothing else."
		if m.demo {
			text = "A run that is not joined yet is laid on the simulated bench alone; the others stay in the finished prop."
		}
		add(text, m.style.Quiet.Render)
	}
	if s := m.sayRecord(); s != "" {
		lines = append(lines, "")
		add(s, plain)
	}
	if m.note != "" {
		lines = append(lines, "")
		add(m.note, m.style.Strong.Render)
	}
	return lines, zones
}
