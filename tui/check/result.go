package check

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/underway"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
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
	width, height := textRoom(m, p.marked(m), p.large(m))
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
		m, cmd := takeOver(m, p.result.Built.Found, p.result.Built.Why)
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
	return m.scrolls(keys, p.marked(m), p.large(m), p.text)
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
	case n == m.of.sub.Pixels():
		return []string{fmt.Sprintf("All %d light", n), fmt.Sprintf("All %d", n)}
	}
	return []string{fmt.Sprintf("%d pixels, not %d", n, m.of.sub.Pixels()), fmt.Sprintf("%d, not %d", n, m.of.sub.Pixels())}
}

// tooMuch are large texts of a resistance and its place: a joint has the number that the
// flex test gives it, a feed its name.
func tooMuch(s power.Suspect) []string {
	much, at := words.Figure(s.Ohms)+" ohm too much", strings.TrimPrefix(style.Clean(strings.ReplaceAll(s.Name, `"`, "")), "the ")
	where := ""
	if s.Run > 0 {
		at = fmt.Sprintf("joint %d", s.Run+1)
		where = fmt.Sprintf("Joint %d: %s ohm", s.Run+1, words.Figure(s.Ohms))
	}
	switch {
	case s.Open() && where != "":
		return []string{"As good as open at " + at, words.Capital(at) + " is open"}
	case s.Open():
		return []string{"As good as open at " + at, "As good as open"}
	case where != "":
		return []string{much + " at " + at, where + " too much", where}
	}
	return []string{much + " at " + at, much}
}

func (p resultPage) lines(m Model, width, height int) ([]string, []zone) {
	pl := textBesideDrawing{large: p.large(m), wrong: p.wrong(), text: func(w int) *lineWriter { return p.written(m, w) }, scroll: p.scroll}
	switch {
	case p.marked(m):
		sc := m.scene()
		pl.keys, pl.sheet = foundKey(sc.placeRanks(p.result.Here, p.result.OrHere), hereName), &m.draw.found
		pl.draw = func(w, h int) []string { return sc.places(p.result.Here, p.result.OrHere, w, h) }
	case p.known:
		pl.below = func(w, h int) []string { return m.draw.start.Lines(m.style, m.of.sub, w, h) }
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
		if l.Number != "" && i > 0 && p.result.Lines[i-1].Number == "" {
			t.head("What to do")
		}
		t.hang(l.Number, edge, l.Text, plain)
	}
	t.readings(p.readings)
	if put, verdict := p.secret(m); put != "" {
		t.head("The demo's secret")
		t.say(edge, put, plain)
		t.say(edge, verdict, m.style.Strong.Render)
	}
	if m.note != "" {
		t.lines = append(t.lines, "")
		t.say(edge, m.note, m.style.Strong.Render)
	}
	return t
}

// titleLines are large words and an empty row below them: as large as a page of so many
// rows allows.
func titleLines(st style.Styles, width, height int, texts []string) []string {
	return append(letters(st.Strong, width, titleRows(height), texts), "")
}

// titleRows is how many rows the large words of a page have at most.
func titleRows(height int) int { return max(1, min(4, height/12)) * digits.Rows }

// letters are the first of texts that fits in large letters, in at most so many rows.
func letters(look style.Text, width, rows int, texts []string) (lines []string) {
	for _, l := range digits.Large(width-2*edge, rows, texts...) {
		lines = append(lines, strings.Repeat(" ", edge)+look.Render(l))
	}
	return lines
}

// A textBesideDrawing is a page of large words over a text, with a drawing beside the
// text or, on a narrow page and with v, instead of it; the state of the record is at the
// foot.
type textBesideDrawing struct {
	large  []string // each text shorter than the one before
	wrong  bool     // they say that something is
	text   func(width int) *lineWriter
	scroll scroll
	keys   []canvas.Name // of its signs
	sheet  *sheet
	draw   func(width, height int) []string // nil for no drawing
	below  func(width, height int) []string // fills the rows below a text without a drawing; nil for nothing
}

func (p textBesideDrawing) lines(m Model, width, height int) []string {
	foot := recordFoot(m, width)
	page := titleLines(m.style.ForLarge(p.wrong), width, height-len(foot), p.large)
	height = max(0, height-len(foot)-len(page))
	side := 0
	if p.draw != nil && height >= leastRows {
		side = m.drawingBox().width
	}
	switch {
	case side > 0:
		page = append(page, p.beside(m, width, height, side)...)
	case p.draw != nil && m.turn%2 == 1 && height > 1:
		var note []string // the text, which has the note, is not shown
		for _, l := range style.Wrap(m.note, width-2*edge) {
			if m.note != "" {
				note = append(note, m.style.Strong.Render(l))
			}
		}
		page = append(page, style.Indent(p.drawing(m, width-2*edge, max(1, height-len(note))), edge)...)
		page = append(page, style.Indent(note, edge)...)
	default:
		page = append(page, p.alone(m, width, height)...)
	}
	for i := range page {
		page[i] = style.Cell(page[i], width)
	}
	return append(page, foot...)
}

// beside is the text with the drawing at its right, in the place that drawings have on all
// pages.
func (p textBesideDrawing) beside(m Model, width, height, side int) []string {
	room, b := width-side-2*edge, m.drawingBox()
	text := p.text(room)
	lines := scrolled(m.style, text.lines, text.joins, p.scroll, room, height)
	above := max(0, min(b.top-len(titleLines(m.style, width, m.size.Height, p.large)), height-b.height))
	draw := p.drawing(m, side, min(b.height, height))
	for i := range lines {
		line := ""
		if k := i - above; k >= 0 && k < len(draw) {
			line = draw[k]
		}
		lines[i] = style.Cell(lines[i], room) + strings.Repeat(" ", edge) + style.Cell(line, side)
	}
	return lines
}

// alone is the text, with p.below in the rows after it.
func (p textBesideDrawing) alone(m Model, width, height int) []string {
	text := p.text(width)
	lines := scrolled(m.style, text.lines, text.joins, p.scroll, width, height)
	if said := len(text.lines) + 1; p.below != nil && said < height {
		copy(lines[said:], style.Indent(p.below(width-2*edge, height-said), edge))
	}
	return lines
}

// keyRows is how many rows the legend of a drawing beside a text has, the empty one below it
// counted: so many are free above the drawing on every page.
const keyRows = 2

// drawing is the drawing with its legend right above it, in as many more rows as the drawing
// leaves.
func (p textBesideDrawing) drawing(m Model, width, height int) []string {
	rows := min(keyRows, max(1, height-leastRows))
	lines := p.draw(width, height-rows)
	for len(lines) > 1 && style.Blank(lines[0]) && style.Blank(lines[1]) {
		lines = append(lines[1:len(lines):len(lines)], "")
	}
	free := 0
	for free < len(lines) && style.Blank(lines[len(lines)-1-free]) {
		free++
	}
	said, _ := legend{said: p.keys, sheet: p.sheet, drawn: lines}.lines(m.scene(), width, rows+min(free, 2))
	for len(said) < rows {
		said = append(said, "")
	}
	return append(said, lines[:len(lines)-len(said)+rows]...)
}

// narrow is the width below which pages have no drawing beside their text.
const narrow = 70

// leastRows is the height from which on a page has a drawing beside its text.
const leastRows = 5

// A box is the place of the drawing beside a text, its legend counted.
type box struct{ col, top, width, height int }

// drawingBox is that place on all pages of a window, below the largest title that there is and
// above a line on the record; of no width on a narrow page.
func (m Model) drawingBox() box {
	b := box{top: titleRows(m.size.Height) + 1}
	b.height = max(0, m.size.Height-b.top-1)
	if m.size.Width < narrow || b.height < leastRows {
		return b
	}
	b.width = min(m.size.Width*2/5, 2*b.height)
	b.col = m.size.Width - edge - b.width
	return b
}

// besideText puts the prop into the place of drawings, at the right of lines that are left
// cells wide at most; the lines alone where they reach into it.
func (m Model) besideText(p *prop.Prop, lines []string, left int) []string {
	b := m.drawingBox()
	drawn := m.draw.start.Lines(m.style, p, b.width, b.height)
	if drawn == nil || left+portrait.Gap > b.col {
		return lines
	}
	return style.Beside(lines, append(make([]string, b.top), drawn...), b.col)
}

// textRoom is the size of the text below large words, with or without a drawing.
func textRoom(m Model, drawn bool, large []string) (width, height int) {
	width, height = m.size.Width, m.size.Height-len(recordFoot(m, m.size.Width))
	height -= len(titleLines(m.style, width, height, large))
	if side := m.drawingBox().width; drawn && side > 0 && height >= leastRows {
		width -= side + 2*edge
	}
	return width, height
}

// recordFoot is the state of the record in lines, with an empty row before it.
func recordFoot(m Model, width int) []string {
	s := style.Clean(sayRecord(m))
	if s == "" {
		return nil
	}
	if m.rec.done != "" && ansi.StringWidth(s) > width-2*edge { // name the file without its folder
		s = strings.ReplaceAll(s, style.Clean(m.rec.done), style.Clean(filepath.Base(m.rec.done)))
	}
	out := []string{style.Cell("", width)}
	for _, l := range style.Wrap(s, width-2*edge) {
		out = append(out, style.Cell(strings.Repeat(" ", edge)+m.style.Strong.Render(l), width))
	}
	return out
}
