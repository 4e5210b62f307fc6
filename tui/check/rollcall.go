package check

import (
	"errors"
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// A call is a roll call under way.
type call struct {
	roll    *checkout.RollCall
	palette checkout.Palette
	look    int            // shown now, from 0
	read    []checkout.Hue // answered so far; empty for not sure
	numbers []int          // what it came to
}

func (c call) frames() show.FrameFunc {
	if c.roll == nil {
		return nil
	}
	return c.roll.Show(c.look)
}

// marking reports whether the look only finds the last pixel.
func (c call) marking() bool { return c.palette == checkout.LitOrDark && c.look == 0 }

// beginCount starts a roll call of the connected prop.
func (m Model) beginCount() Model {
	return m.countWith(checkout.SixColours)
}

// askedToCount begins a roll call that another screen asks for, unless a test
// or something typed would be lost.
func (m Model) askedToCount(msg screen.GoMsg) Model {
	switch {
	case !msg.Count || m.prop == nil:
		return m
	case m.busy || m.entering != nil || m.page == drillPage || m.page == planPage:
		m.note = "Finish this first: the roll call begins from the start of this page."
		return m
	}
	m.note = ""
	return m.beginCount()
}

// quicker is the looks of a roll call where a count may be off and it is
// quicker than counting up; else 0.
func (m Model) quicker() int {
	for _, f := range m.st.findings {
		for _, c := range f.Causes {
			for _, ft := range c.Faults {
				if ft.Kind == strip.Count {
					return screen.QuickCall(m.prop.Pixels())
				}
			}
		}
	}
	return 0
}

func (m Model) countWith(p checkout.Palette) Model {
	roll, err := checkout.NewRollCall(m.prop.Pixels(), p, true)
	if err != nil {
		m.note = sentence(err)
		return m
	}
	m = m.beside()
	m.call = call{roll: roll, palette: p}
	m.page, m.at, m.dark = countPage, none, false
	m = m.fresh()
	m.send()
	return m
}

// otherPalette goes on with fewer colours, from the first look.
func (m Model) otherPalette() Model {
	return m.countWith((m.call.palette + 1) % 3)
}

// countQuery is the question of the look that is shown.
func (m Model) countQuery() query {
	c := m.call
	q := query{progress: fmt.Sprintf("Roll call, look %d of %d", c.look+1, c.roll.Looks()),
		large: "Colour of last lit?", question: c.roll.Question(c.look),
		hint: "v shows it in " + paletteWords[(c.palette+1)%3] + " instead; n lets you type a count"}
	if c.marking() {
		q.large = "Find the last lit"
		q.items = []item{{digit: 1, text: "my finger is on it"}, {digit: 2, text: "nothing is lit"}}
		return q
	}
	if c.palette == checkout.LitOrDark {
		q.large = "Is it lit?"
		q.items = []item{{digit: 1, text: "dark"}, {digit: 2, text: "lit"}}
	} else {
		for i, h := range c.roll.Hues() {
			q.items = append(q.items, item{digit: i + 1, text: string(h), sign: m.swatch(checkout.Token(checkout.NameOf(h.Colour())))})
		}
	}
	q.items = level(append(q.items, item{digit: 0, text: "not sure", quiet: true}))
	return q
}

var paletteWords = [3]string{"six colours", "three colours", "light and dark"}

func (m Model) countView(width, height int) ([]string, []zone) {
	return m.asking(m.countQuery(), width, height)
}

// answerCount takes the answer with this digit to the look that is shown.
func (m Model) answerCount(digit int) (Model, tea.Cmd) {
	c := &m.call
	switch {
	case c.marking() && digit == 2:
		m.note = "Nothing lights: begin a check-out instead."
		m.page, m.at = startPage, 0
		return m.fresh(), nil
	case c.marking():
	case digit == 0:
		c.read = append(c.read[:len(c.read):len(c.read)], "")
	default:
		c.read = append(c.read[:len(c.read):len(c.read)], c.roll.Hues()[digit-1])
	}
	c.look++
	m.at = none
	m = m.fresh()
	if c.look < c.roll.Looks() {
		return m, nil
	}
	numbers, err := c.roll.Count(c.read, nil)
	if err != nil {
		var misread *checkout.MisreadError
		m = m.countWith(c.palette)
		m.note = sentence(err)
		if errors.As(err, &misread) {
			m.note += " If the prop's colour order is wrong, v takes fewer colours."
		}
		return m, nil
	}
	return m.counted(numbers), nil
}

// backCount goes one look back.
func (m Model) backCount() Model {
	c := &m.call
	if c.look == 0 {
		m.note = "This is the first look."
		return m
	}
	c.look--
	if len(c.read) > 0 {
		c.read = c.read[:len(c.read)-1]
	}
	return m.fresh()
}

// counted shows what came out.
func (m Model) counted(numbers []int) Model {
	m.call.numbers = numbers
	m.page, m.scroll, m.turn = countedPage, 0, 0
	m.drilled = drillResult{}
	if len(numbers) == 1 && numbers[0] < m.prop.Pixels() {
		m.drilled.here = []show.Span{{First: numbers[0] - 1, Last: numbers[0] - 1}}
	}
	m.draw.found = sheet{}
	return m.fresh()
}

// countedView says the count and what follows from it.
func (m Model) countedView(width, height int) []string {
	return m.placed(m.countedText, width, height)
}

func (m Model) countedText(width, _ int) []string {
	t := &teller{m: m, width: width}
	t.lines = append(t.lines, "")
	n := m.call.numbers
	if len(n) == 1 {
		for _, l := range digits.Lines(fmt.Sprint(n[0]), digits.Tall) {
			t.lines = append(t.lines, "  "+m.style.Accent.Render(l))
		}
		t.lines = append(t.lines, "")
		t.say(2, m.countWords(n[0]), plain)
	} else {
		t.say(2, fmt.Sprintf("The count is one of %s: go through the looks once more, with every colour.", numbersText(n)), plain)
	}
	if m.note != "" {
		t.lines = append(t.lines, "")
		t.say(2, m.note, m.style.Strong.Render)
	}
	t.lines = append(t.lines, "")
	t.say(2, "esc goes back to the start of this page.", m.style.Quiet.Render)
	return t.lines
}

// countWords is what a count means on this prop.
func (m Model) countWords(n int) string {
	all := m.prop.Pixels()
	on, _ := m.prop.Lights()
	last := all // that lights, counted from 1
	for last > 0 && !on[last-1] {
		last--
	}
	switch {
	case n >= last && n < all:
		return fmt.Sprintf("Every planned pixel lights, up to the last before those left empty, pixel %d of %d.", last, all)
	case n == all:
		return fmt.Sprintf("All %d planned pixels light. If dark ones follow, the prop has more than planned: raise the count of the last run and call again.", all)
	case n > all:
		return fmt.Sprintf("That is %d more than planned: correct the count in the prop file.", n-all)
	}
	return fmt.Sprintf("The last pixel that lights is %s; %d were planned. Either the prop has fewer pixels than planned, or nothing reaches the next one%s.",
		strip.Spot(m.prop, n-1), all, style.Clean(strip.Before(m.prop, n)))
}

func numbersText(n []int) string {
	text := ""
	for i, x := range n {
		if i == 12 {
			return text + " and others"
		}
		if i > 0 {
			text += ", "
		}
		text += fmt.Sprint(x)
	}
	return text
}
