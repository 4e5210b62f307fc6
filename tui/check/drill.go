package check

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/style"
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
	marks() []show.Span
	answer(digit int) error
	undo() bool
	result() (drillResult, error) // may think for a while, so it is called in a command
}

// A drillResult is what a drill came to.
type drillResult struct {
	title string
	lines []string
	entry record.Entry
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
	m = m.choose(-1)
	m.st, m.past = state{}, nil
	m.drill, m.drilled = d, drillResult{}
	m.page, m.at, m.dark = drillPage, none, false
	return m.drillStep()
}

// drillStep shows the step the drill stands at.
func (m Model) drillStep() Model {
	m.at, m.lift = none, m.drill.level()
	m.draw.open = sheet{}
	return m.fresh()
}

// answerDrill takes the answer with this digit.
func (m Model) answerDrill(digit int) (Model, tea.Cmd) {
	if l, ok := m.drill.(*loadDrill); ok && digit > 0 {
		m.entering = &entering{what: l.ask(), kind: voltsLine}
		m.entering.add(rune('0' + digit))
		return m, nil
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
		m.drilled = drillResult{title: "Not settled", lines: []string{sentence(msg.err)}}
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

// drilledView is what the drill came to.
func (m Model) drilledView(width, height int) []string {
	t := &teller{m: m, width: width}
	t.lines = append(t.lines, "")
	if m.busy {
		t.say(2, "Working it out.", plain)
		return t.lines
	}
	t.say(2, m.drilled.title, m.style.Accent.Render)
	t.lines = append(t.lines, "")
	for _, l := range m.drilled.lines {
		t.say(2, l, plain)
	}
	if m.note != "" {
		t.lines = append(t.lines, "")
		t.say(2, m.note, m.style.Strong.Render)
	}
	foot := m.foot(width)
	return append(m.scrolled(t.lines, width, height-len(foot)), foot...)
}

// flexDrill bends every joint.
type flexDrill struct{ f *joints.Flex }

func (d flexDrill) query(Model) (query, bool) {
	b, more := d.f.Next()
	q := query{progress: fmt.Sprintf("Flex test, joint %d", b.ID), large: "Bend it: steady?", question: style.Clean(b.Question)}
	for i, x := range joints.Bendings {
		q.items = append(q.items, item{digit: i + 1, text: string(x)})
	}
	q.items = append(q.items, item{digit: 0, text: string(joints.NotSure), quiet: true})
	return q, more
}

func (d flexDrill) frames() show.FrameFunc {
	b, _ := d.f.Next()
	return b.Show
}

func (d flexDrill) marks() []show.Span {
	b, _ := d.f.Next()
	return b.Marks
}

func (d flexDrill) level() float64 { return joints.Level }
func (d flexDrill) undo() bool     { return d.f.Undo() }

func (d flexDrill) answer(digit int) error {
	if digit < 1 || digit > len(joints.Bendings) {
		return d.f.Answer(joints.NotSure)
	}
	return d.f.Answer(joints.Bendings[digit-1])
}

func (d flexDrill) result() (drillResult, error) {
	r := drillResult{title: "All joints are steady", entry: record.FromFlex(d.f)}
	for _, l := range d.f.Findings() {
		r.title = "Loose joints"
		r.lines = append(r.lines, l.Name+": "+l.Text)
		for i, x := range l.Remedy {
			r.lines = append(r.lines, fmt.Sprintf("  %d. %s", i+1, x))
		}
	}
	if open := d.f.Open(); len(open) > 0 {
		if r.title == "All joints are steady" {
			r.title = "Steady, as far as bent"
		}
		r.lines = append(r.lines, "Not tested: "+strings.Join(open, ", ")+".")
	}
	return r, nil
}

// loadDrill holds a voltmeter to the copper.
type loadDrill struct {
	p *prop.Prop
	l *joints.Load
}

func (d *loadDrill) query(m Model) (query, bool) {
	x, more := d.l.Next()
	q := query{progress: fmt.Sprintf("Load test, reading %d of %d", x.ID, x.Of), large: "Volts here?", question: style.Clean(x.Question),
		hint: "type the reading in volts, then enter; keep clear of mains, and power off before you solder"}
	q.items = []item{{digit: 1, text: "type the reading"}, {digit: 0, text: "the meter can't reach it", quiet: true}}
	return q, more
}

func (d *loadDrill) ask() string {
	x, _ := d.l.Next()
	return style.Clean(x.Question)
}

func (d *loadDrill) frames() show.FrameFunc {
	x, _ := d.l.Next()
	return x.Show
}

func (d *loadDrill) marks() []show.Span {
	x, more := d.l.Next()
	if !more {
		return nil
	}
	return []show.Span{{First: x.Pixel, Last: x.Pixel}}
}

func (d *loadDrill) level() float64 {
	x, _ := d.l.Next()
	return x.Level
}

func (d *loadDrill) undo() bool { return d.l.Undo() }

func (d *loadDrill) answer(int) error {
	d.l.Skip()
	return nil
}

// volts takes a reading as typed; "4,83 V" is one too.
func (d *loadDrill) volts(text string, level float64) error {
	clean := strings.TrimSpace(strings.TrimRight(strings.ReplaceAll(text, ",", "."), "vV "))
	v, err := strconv.ParseFloat(clean, 64)
	if err != nil {
		return fmt.Errorf("%q is no reading: type volts, such as 4.83", text)
	}
	return d.l.Volts(v, level)
}

func (d *loadDrill) result() (drillResult, error) {
	fit, err := d.l.Result()
	if err != nil {
		return drillResult{}, err
	}
	r := drillResult{title: "Load test", lines: []string{fit.Text}, entry: record.FromLoad(d.p, d.l.Readings(), fit)}
	switch fit.Verdict {
	case power.FitGood:
		r.title = "The copper is sound"
	case power.FitTooFew:
		r.title = "Too few readings"
	case power.FitFound:
		r.title = "Resistance found"
	}
	for _, s := range fit.Suspects {
		if s.Weight >= 0.01 {
			r.lines = append(r.lines, fmt.Sprintf("  %2.0f in 100: %s, %.2f Ω too much, give or take %.2f Ω", 100*s.Weight, s.Name, s.Ohms, s.PlusMinus))
		}
	}
	return r, nil
}

// bulbDrill finds what the slots of a bulb do.
type bulbDrill struct {
	s *bulb.Session
	m Model // for the planned order
}

// step is the question to ask. A bench that is sending does not end its stream
// for one, so that step counts as not tried; "ringout check FILE --bulb" asks it.
func (d bulbDrill) step() (bulb.Probe, bool) {
	p, more := d.s.Next()
	for more && p.End {
		if d.s.Answer(bulb.Skipped) != nil {
			return p, more
		}
		p, more = d.s.Next()
	}
	return p, more
}

func (d bulbDrill) query(Model) (query, bool) {
	p, more := d.step()
	q := query{progress: "The bulb's slots", large: "What do you see?", question: style.Clean(p.Question)}
	for i, a := range p.Answers {
		q.items = append(q.items, item{digit: i + 1, text: string(a)})
	}
	if !slices.Contains(p.Answers, bulb.NotSure) {
		q.items = append(q.items, item{digit: 0, text: string(bulb.NotSure), quiet: true})
	}
	return q, more
}

func (d bulbDrill) frames() show.FrameFunc {
	p, _ := d.step()
	return p.Show
}

func (d bulbDrill) level() float64 {
	p, _ := d.step()
	return p.Level
}

func (d bulbDrill) marks() []show.Span { return nil }

func (d bulbDrill) undo() bool {
	if !d.s.Undo() {
		return false
	}
	for p, more := d.s.Next(); more && p.End; p, more = d.s.Next() {
		if !d.s.Undo() {
			break
		}
	}
	return true
}

func (d bulbDrill) answer(digit int) error {
	p, more := d.step()
	switch {
	case !more:
		return errors.New("the bulb's check is done")
	case digit < 1 || digit > len(p.Answers):
		return d.s.Answer(bulb.NotSure)
	}
	return d.s.Answer(p.Answers[digit-1])
}

func (d bulbDrill) result() (drillResult, error) {
	r := d.s.Result(d.m.prop.Chip.Order)
	title := "The bulb is not as planned"
	if r.Good {
		title = "The bulb is as planned"
	}
	return drillResult{title: title, lines: r.Lines, entry: record.FromBulb(r)}, nil
}
