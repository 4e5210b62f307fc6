package check

import (
	"os"
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
)

// A drill is a test beside the check-out: of joints by bending, of the copper
// by a voltmeter, of a bulb's slots. It belongs to one screen and is changed
// by Update alone.
//
// To add one: 1. fulfil this; 2. give it a line in choices; 3. let result say
// what it came to.
type drill interface {
	query(m Model) (query, bool) // false when done
	frames() show.FrameFunc
	level() float64
	ended() bool // the stream is ended for this question
	marks() []show.Span
	answer(digit int) error
	undo() bool
	result() (drillResult, error) // may think for a while, so it is called in a command
}

// A drillResult is what a drill came to.
type drillResult struct {
	title string
	lines []told
	entry record.Entry
	here  []show.Span      // where it is, the likeliest place
	orIn  []show.Span      // other places it may be
	fit   *power.FitResult // of a load test
	slots bool             // of a bulb, all of them asked about
	bent  bool             // every joint was, and somebody was sure of each
}

// A told is a paragraph of a result.
type told struct {
	number string // in front, with nothing below it; may be empty
	text   string
}

func tell(text ...string) (out []told) {
	for _, t := range text {
		out = append(out, told{text: t})
	}
	return out
}

// drilledMsg is that, from the command.
type drilledMsg struct {
	job    int
	result drillResult
	text   string // prop file
	err    error
}

// beginDrill starts a drill that could be made.
func (m Model) beginDrill(d drill, err error) Model {
	if err != nil {
		m.note = sentence(err)
		return m
	}
	m = m.beside()
	m.drill, m.drilled = d, drillResult{}
	m.page, m.at, m.dark = drillPage, none, false
	return m.drillStep()
}

// drillStep shows the step the drill stands at.
func (m Model) drillStep() Model {
	m.at, m.lift, m.meter = none, m.drill.level(), meter{}
	m.draw.open = sheet{}
	return m.fresh()
}

// answerDrill takes the answer with this digit.
func (m Model) answerDrill(digit int) (Model, tea.Cmd) {
	if l, ok := m.drill.(*loadDrill); ok && digit > 0 {
		return m.typeVolts(l, strconv.Itoa(digit)), nil
	}
	return m.drillOn(m.drill.answer(digit))
}

// drillOn goes to the next step, or to the end.
func (m Model) drillOn(err error) (Model, tea.Cmd) {
	if err != nil {
		m.note = sentence(err)
		return m, nil
	}
	m = m.drillStep()
	if _, more := m.drill.query(m); more {
		return m, nil
	}
	return m.endDrill()
}

// endDrill works out what the drill came to.
func (m Model) endDrill() (Model, tea.Cmd) {
	if m.busy {
		return m, nil
	}
	m.job++
	m.busy, m.page, m.lift, m.scroll = true, drilledPage, 0, 0
	m = m.fresh()
	d, job, path := m.drill, m.job, m.path
	return m, func() tea.Msg {
		r, err := d.result()
		msg := drilledMsg{job: job, result: r, err: err}
		if path != "" {
			text, _ := os.ReadFile(path) // the entry does without it when it is gone
			msg.text = string(text)
		}
		return msg
	}
}

// drilledNow shows and records it.
func (m Model) drilledNow(msg drilledMsg) (Model, tea.Cmd) {
	if msg.job != m.job {
		return m, nil
	}
	m.busy = false
	if msg.err != nil {
		m.drilled = drillResult{title: "Not settled", lines: tell(sentence(msg.err))}
		return m, nil
	}
	m.drilled = msg.result
	e := msg.result.entry
	e.Prop, e.PropFile = m.prop.Name, msg.text
	return m.enter(e)
}

// backDrill takes the last answer back.
func (m Model) backDrill() Model {
	if !m.drill.undo() {
		m.note = "This is the first question."
		return m
	}
	return m.drillStep()
}
