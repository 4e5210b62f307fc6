package check

import (
	"fmt"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/style"
)

// loadDrill holds a voltmeter to the copper.
type loadDrill struct {
	p *prop.Prop
	l *joints.Load
}

func (d *loadDrill) query(m Model) (query, bool) {
	x, more := d.l.Next()
	q := query{progress: fmt.Sprintf("Load test, reading %d of %d", x.ID, x.Of), large: "Volts here?", question: style.Clean(x.Question),
		hint: "type the reading in volts, then enter; keep clear of mains, and power off before you solder"}
	if x.ID == 1 {
		q.hint = "every pixel must be white now: if one is not, check the prop out first; " + q.hint
	}
	switch {
	case m.meter.known:
		q.items = append(q.items, item{key: "t", digit: none, text: "take what the demo's meter reads here: " + m.meter.text() + " V"})
	case m.demo:
		q.items = append(q.items, item{key: "t", digit: none, text: "the demo's meter is being read", quiet: true})
	}
	q.items = append(q.items, item{key: "n", digit: none, text: "type the reading; a digit begins it too"},
		item{digit: 0, text: "the meter can't reach it", quiet: true})
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

func (d *loadDrill) ended() bool { return false }
func (d *loadDrill) undo() bool  { return d.l.Undo() }

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
	r := drillResult{title: "Load test", lines: tell(fit.Text), entry: record.FromLoad(d.p, d.l.Readings(), fit), fit: &fit}
	switch fit.Verdict {
	case power.FitGood:
		r.title = "The copper is sound"
	case power.FitTooFew:
		r.title = "Too few readings"
	case power.FitFound:
		r.title = "Resistance found"
	case power.FitCantTell:
		r.title = "Can't tell where"
	case power.FitPoor:
		r.title = "No one place fits"
	case power.FitNone:
		r.title = "No voltage"
	}
	r.here, r.orIn = suspectPlaces(d.p, fit)
	if named := fit.Named(); len(named) > 1 && fit.Verdict != power.FitNone { // else it has been said
		for _, s := range named {
			r.lines = append(r.lines, told{fmt.Sprintf("%2.0f in 100: ", 100*s.Weight), s.Name + ", " + s.Much()})
		}
	}
	return r, nil
}

// suspectPlaces are the likeliest place of too much resistance, and the others
// that are named. At a joint it lies between two pixels, so both are marked.
func suspectPlaces(p *prop.Prop, fit power.FitResult) (here, orIn []show.Span) {
	for i, s := range fit.Named() {
		at := placeOf(p, s)
		switch {
		case i == 0 && fit.Verdict == power.FitFound, len(fit.Suspects) == 1 && fit.Verdict == power.FitNone:
			here = append(here, at)
		default:
			orIn = append(orIn, at)
		}
	}
	return here, orIn
}

// placeOf is the pixels on both sides of a joint, or the one a feed enters at.
func placeOf(p *prop.Prop, s power.Suspect) show.Span {
	if s.Run > 0 && s.Run < len(p.Runs) {
		at := p.FirstPixel(s.Run)
		return show.Span{First: at - 1, Last: at}
	}
	at := 0
	if s.Feed < len(p.Feeds) {
		at = p.Feeds[s.Feed].Pixel
	}
	return show.Span{First: at, Last: at}
}

// typeVolts begins the line for a reading, or goes on with what was begun.
func (m Model) typeVolts(l *loadDrill, begun string) Model {
	m.entering = enteringOf(l.ask(), voltsLine, begun)
	return m
}

// takeLoad does what a line of the load test stands for.
func (m Model) takeLoad(l *loadDrill, key string) (Model, tea.Cmd) {
	switch key {
	case "t":
		return m.takeMeter()
	case "n":
		return m.typeVolts(l, ""), nil
	}
	return m.answerDrill(0)
}

// takeMeter takes what the demo's meter reads.
func (m Model) takeMeter() (Model, tea.Cmd) {
	switch {
	case !m.demo:
		m.note = "Only the demo has a meter of its own: type what yours reads."
		return m, nil
	case !m.meter.known:
		m.note = "The demo's meter is still being read."
		return m, nil
	}
	return m.voltsTyped(m.meter.text())
}
