package check

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/underway"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// resultPage is the result of a single test.
type resultPage struct {
	basePage
	scroll scroll
	kind   single.Kind
	result single.Result
	known  bool // the result has arrived
	order  prop.Order

	readings []joints.PlannedReading // of a load test
}

// resultMsg is the result of a single test, from a command.
type resultMsg struct {
	job    int
	trial  *underway.Trial
	result single.Result
	err    error
}

// conclude computes the result of a test, in a command.
func conclude(m Model, t *underway.Trial) (Model, tea.Cmd) {
	if m.work.busy {
		return m, nil
	}
	if why, remedy := m.network().Advice(); why != "" {
		m.note = why + " " + remedy
		return m, nil
	}
	m.turn, m.draw.found = 0, sheet{}
	m = m.open(resultPage{kind: t.Kind()})
	m.work.job, m.work.busy = m.work.job+1, true
	job := m.work.job
	return m, func() tea.Msg {
		r, err := t.Result()
		return resultMsg{job, t, r, err}
	}
}

// concluded shows and records the result of a test.
func concluded(m Model, msg resultMsg) (Model, tea.Cmd) {
	if msg.job != m.work.job {
		return m, nil
	}
	m.work.busy = false
	of := m.desk.UnfinishedTest(msg.trial)
	p := resultPage{kind: msg.trial.Kind(), result: msg.result, known: true, readings: readingsOf(msg.trial)}
	if msg.err != nil {
		p.result = single.Result{Title: "Not settled", Lines: []single.Paragraph{{Text: sentence(msg.err)}}, Built: single.AsBuilt{Why: sentence(msg.err)}}
		m.page = p
		return m, nil
	}
	if b, ok := msg.trial.Test.(single.BulbTest); ok {
		p.order = b.Found().Order
	}
	var entries []record.Entry
	if e, ok := m.desk.TestEntry(msg.trial, msg.result); ok {
		entries = append(entries, e)
	}
	if e, signed := m.desk.Sign(msg.trial, &p.result); signed {
		entries = append(entries, e)
		m.st.Seen, m.st.findings = msg.trial.Proof.Findings, msg.trial.Proof.Findings
	}
	if msg.trial.Kind() == single.Load && p.result.Good && p.result.Whole {
		m.st.measured = true
	}
	if m.page = p; len(entries) > 0 {
		return m.enter(of, entries...)
	}
	return m.forget(of)
}

// next is the next test before the prop is signed off; false for none.
func (p resultPage) next(m Model) (single.Kind, bool) {
	if m.st.proof == nil || len(m.st.proof.Left()) == 0 {
		return "", false
	}
	return m.st.proof.Left()[0], true
}

func (p resultPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	width, height := textRoom(m, p.drawn(m), p.large(m))
	if at, ok := p.scroll.moved(m, k, len(p.text(m, width)), height); ok {
		p.scroll = at
		m.page = p
		return m, nil, true
	}
	next, left := p.next(m)
	switch {
	case key.Matches(k, m.keys.Take) && left:
		m, cmd := takeUpTest(m, next)
		return m, cmd, true
	case key.Matches(k, m.keys.Plan) && p.known:
		m, cmd := takeOver(m, p.result.Built)
		return m, cmd, true
	case key.Matches(k, m.keys.Record):
		return askWhere(m), nil, true
	}
	return m, nil, false
}

// marked reports whether the result has a place to draw.
func (p resultPage) marked(m Model) bool {
	return m.of.sub != nil && len(p.result.Here)+len(p.result.OrHere) > 0
}

// drawn reports whether a drawing stands beside the text: of the place, or of the prop as planned where each
// pixel has a sign of its own there; else it has more room below the text.
func (p resultPage) drawn(m Model) bool {
	if p.marked(m) || !p.known || m.of.sub == nil || m.of.sub.Bulb() {
		return p.marked(m)
	}
	b := m.drawingBox()
	return b.width > 0 && m.draw.own.Get(plannedKey{m.of.sub, b.width, b.height}, func() bool {
		return canvas.Placed(m.of.sub, nil, b.width, b.height-keyRows, m.style.Depth).Shared(false).Full == ""
	})
}

func (p resultPage) help(m Model) []key.Binding {
	keys := []key.Binding{screen.Hint(m.keys.Leave, "esc", "start")}
	if p.result.Built.Why == "" && p.known {
		keys = append(keys, screen.Hint(m.keys.Plan, "p", "into the plan"))
	}
	if next, left := p.next(m); left {
		keys = append(keys, screen.Hint(m.keys.Take, "enter", next.Title()))
	}
	if p.marked(m) && m.size.Width < narrow {
		keys = append(keys, screen.Hint(m.keys.View, "v", "drawing"))
	}
	if len(m.rec.pending) > 0 {
		keys = append(keys, screen.Hint(m.keys.Record, "w", "record"))
	}
	return m.scrolls(keys, p.drawn(m), p.large(m), p.text)
}

// scrolls adds the scroll key if the text is longer than the page.
func (m Model) scrolls(keys []key.Binding, drawn bool, large []string, text func(m Model, width int) []string) []key.Binding {
	if width, height := textRoom(m, drawn, large); len(text(m, width)) > height {
		keys = append(keys, screen.Hint(m.keys.Down, "↓", "scroll"))
	}
	return keys
}

// wrong reports whether the large words say that something is: a test that was ended early
// found nothing yet.
func (p resultPage) wrong() bool {
	r := p.result
	return p.known && !r.Good && (r.Whole || len(r.Here) > 0)
}

// right reports whether the large words say that all is well.
func (p resultPage) right() bool { return p.known && p.result.Good && p.result.Whole }

// large are the large texts of the result.
func (p resultPage) large(m Model) []string {
	n := p.result.Number
	switch fit := p.result.Fit; {
	case !p.known:
		return []string{"Working it out"}
	case fit != nil && fit.Verdict == power.FitFound && len(fit.Named()) > 0:
		return tooMuch(fit.Named()[0])
	case m.of.sub != nil && p.order != "" && p.order != m.of.sub.Chip.Order:
		return []string{fmt.Sprintf("%s, not %s", p.order, m.of.sub.Chip.Order)}
	case (n == 0 || m.of.sub == nil) && p.result.Short != "":
		return []string{p.result.Title, p.result.Short}
	case n == 0 || m.of.sub == nil:
		return []string{p.result.Title}
	case p.result.Good:
		return []string{fmt.Sprintf("%d, as planned", n), fmt.Sprintf("%d: good", n), "Good"}
	case n == m.of.sub.Pixels():
		return []string{fmt.Sprintf("%d, other colours", n), "Other colours"}
	}
	return []string{fmt.Sprintf("%d pixels, not %d", n, m.of.sub.Pixels()), fmt.Sprintf("%d, not %d", n, m.of.sub.Pixels())}
}

// tooMuch are large texts of a resistance and its place: a joint has the number that the
// flex test gives it, a feed its name.
func tooMuch(s power.Suspect) []string {
	ohms, at := words.Figure(s.Ohms)+" ohm", strings.TrimPrefix(style.Clean(strings.ReplaceAll(s.Name, `"`, "")), "the ")
	if s.Run > 0 {
		at = fmt.Sprintf("joint %d", s.Run+1)
	}
	where := words.Capital(at)
	if s.Open() {
		return []string{"As good as open at " + at, where + " is open", "As good as open"}
	}
	return []string{ohms + " too much at " + at, where + ": " + ohms + " too much", where + ": " + ohms, ohms + " too much"}
}

func (p resultPage) lines(m Model, width, height int) ([]string, []zone) {
	pl := textBesideDrawing{large: p.large(m), wrong: p.wrong(), right: p.right(), text: func(w int) *lineWriter { return p.written(m, w) }, scroll: p.scroll}
	switch {
	case p.drawn(m):
		sc := m.scene()
		pl.keys, pl.sheet = append(numberedKey(p.result.Numbered), foundKey(sc.placeRanks(p.result), hereName)...), &m.draw.found
		pl.draw = func(w, h int) []string { return sc.places(p.result, w, h) }
	case p.known:
		pl.below = func(w, h int) []string { return p.planned(m, w, h) }
	}
	return pl.lines(m, width, height), nil
}

// text is the text below the large words.
func (p resultPage) text(m Model, width int) []string { return p.written(m, width).lines }

func (p resultPage) written(m Model, width int) *lineWriter {
	t := &lineWriter{style: m.style, width: width}
	if !p.known {
		return t
	}
	for i, l := range p.result.Lines {
		switch numbered := i > 0 && p.result.Lines[i-1].Number != ""; {
		case i > 0 && !numbered && l.Number != "":
			t.head("What to do")
		case numbered && l.Number == "":
			t.gap()
		}
		look := plain
		if i == 0 && l.Number == "" { // what was found, as on the page of a finding
			look = m.style.Strong.Render
		}
		t.hang(l.Number, edge, l.Text, look)
	}
	if p.result.Sure != "" {
		t.head("How sure it is")
		t.say(edge, p.result.Sure, plain)
	}
	t.readings(p.readings)
	if put, verdict := p.secret(m); put != "" {
		t.head("The demo's secret")
		t.say(edge, put, plain)
		t.say(edge, verdict, m.style.Strong.Render)
	}
	if m.note != "" {
		t.gap()
		t.say(edge, m.note, m.style.Strong.Render)
	}
	return t
}

var quoted = regexp.MustCompile(`(joints? [0-9]+ )?"[^"]*"`)

// inOnePiece is a text whose quoted names are not broken over two lines, unless they are long.
func inOnePiece(text string) string {
	const long = 36 // with what stands before the name
	return quoted.ReplaceAllStringFunc(text, func(name string) string {
		if len(name) > long {
			return name
		}
		return strings.ReplaceAll(name, " ", "\u00a0")
	})
}

// A plannedKey is what a drawing of the plan hangs on.
type plannedKey struct {
	of            *prop.Prop
	width, height int
}

// planned is planIn from the cache.
func (p resultPage) planned(m Model, width, height int) []string {
	return m.draw.planned.Get(plannedKey{m.of.sub, width, height}, func() []string { return p.planIn(m, width, height) })
}

// planIn is the prop as planned below the text: no wider than it is high, so that it stands right
// below its legend, and in rows where it has no room else.
func (p resultPage) planIn(m Model, width, height int) []string {
	const legendWide, margins = 56, 8
	if m.of.sub == nil {
		return nil
	}
	if wide := max(legendWide, 2*height+margins); wide < width && !canvas.Best(m.of.sub, nil, wide, height-keyRows, m.style.Depth).Rows() {
		width = wide
	}
	if p.result.Good && p.result.Number == m.of.sub.Pixels() && !m.of.sub.Bulb() && height >= leastDrawn {
		return style.Indent(m.countedIn(width, height), edge-1)
	}
	lines := m.draw.start.Lines(m.style, m.of.sub, width, height)
	if lines == nil && !m.of.sub.Bulb() && height >= leastDrawn {
		rows := canvas.New(m.of.sub, nil, canvas.Rows, width, height-1, m.style.Depth)
		m.draw.found = sheet{c: rows, width: width, height: height - 1}
		drawn := style.WithoutEnd(rows.Signs(make([]uint8, m.of.sub.Pixels()), []string{otherSign}))
		said, _ := legend{title: canvas.Named(words.Count(m.of.sub.Pixels(), "pixel")), sheet: &m.draw.found, drawn: drawn}.lines(m.scene(), width, 1)
		lines = append(said, drawn...)
	}
	return style.Indent(lines, edge)
}

// countedIn is the prop as planned with all its pixels lit, as they were counted, below its legend.
func (m Model) countedIn(width, height int) []string {
	sc, keys, foot := m.scene(), min(keyRows, height-leastDrawn+1), 0
	if m.style.Depth != style.Letters {
		foot = 1 // of the ground
	}
	drawn := canvas.Best(m.of.sub, nil, width, height-keys-foot, m.style.Depth)
	if drawn.Rows() {
		rows := func(height int) *canvas.Canvas {
			return canvas.New(m.of.sub, nil, canvas.Rows, width, height, m.style.Depth)
		}
		if drawn = rows(height - keys); rows(height-1).Per() < drawn.Per() { // pixels matter more than the row below the legend
			keys, drawn = 1, rows(height-1)
		}
	}
	m.draw.found = sheet{c: drawn, width: width, height: height - keys, used: []string{m.style.OnPanel().Good.Render(litSign)}}
	lines := withoutStart(style.WithoutEnd(drawn.Signs(make([]uint8, m.of.sub.Pixels()), m.draw.found.used)))
	said, _ := legend{title: canvas.Named(words.Count(m.of.sub.Pixels(), "pixel")), said: []canvas.Name{asPlanned}, sheet: &m.draw.found, drawn: lines}.lines(sc, width, 1)
	if keys > 1 && len(said)+len(lines) < height {
		said = append(said, "")
	}
	out, _ := canvas.Panel(m.style, append(said, lines...), width, min(1, height-len(said)-len(lines)))
	return out
}
