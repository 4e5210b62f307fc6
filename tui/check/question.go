package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// questionPage is a probe of the check-out with its answers.
type questionPage struct {
	still
	list choice
}

func (questionPage) shows(m Model) show.Want { return probeLight(m) }

func (questionPage) pictures(m Model) pictures { return pictures{true, m.st.probe.Look} }

// probeLight is the light of the probe that waits for an answer; dark when none does.
func probeLight(m Model) show.Want {
	if !m.st.more {
		return show.Want{}
	}
	return show.Want{Frames: moved(m.st.probe.Show, m.of.first, m.of.sub.Pixels())}
}

// lift is for the question whether the far end fades, which needs more light.
func (questionPage) lift(m Model) float64 {
	if m.st.more && m.st.probe.Spec.Kind == checkout.AskFade {
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
	case is(m.keys.Stop):
		m, cmd := m.stop()
		return m, cmd, true
	default:
		return m, nil, false
	}
	return m, nil, true
}

// lineOf is where an answer's key stands in the list: "not sure" comes last.
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
		return []key.Binding{say(m.keys.Leave, "esc", "start")}
	}
	answer := say(m.keys.Digit, "1-9 0", "answer")
	if slices.ContainsFunc(m.st.probe.Answers, func(a checkout.Answer) bool { return a.Sees.Colour() }) {
		answer = say(m.keys.Digit, "r g b … 1-9 0", "answer")
	}
	keys := []key.Binding{answer}
	if len(m.st.asked) > 0 {
		keys = append(keys, say(m.keys.Back, "←", "back"), say(m.keys.Change, "e", "change"))
	}
	return append(keys, say(m.keys.View, "v", "drawing"), say(m.keys.Stop, "x", "end here"), say(m.keys.Brighter, "+", "brighter"), m.keys.Off)
}

func (p questionPage) lines(m Model, width, height int) ([]string, []zone) {
	return asking(m, questionQuery(m), int(p.list), width, height)
}

// A query is a question as it is drawn.
type query struct {
	progress, large, question, hint string
	items                           []item
	open                            bool // what may still be wrong stands beside the answers
}

func questionQuery(m Model) query {
	if !m.st.more {
		return query{progress: progress(m), open: true}
	}
	p := m.st.probe
	return query{progress(m), p.Spec.Headline(), style.Clean(p.Question), style.Clean(p.Hint), answerItems(m, p.Answers), true}
}

// asking is a page with a question above, drawings, and answers below.
func asking(m Model, q query, chosen, width, height int) (lines []string, zones []zone) {
	bottom, z := answersBelow(m, q, chosen, width, height)
	spare := height - len(bottom) - len(questionTop(m, q, width, height, 0))
	lines = questionTop(m, q, width, height, largeRows(height, spare))
	room := height - len(lines) - len(bottom)
	if room < 0 { // the answers matter more than the end of a long question
		lines = lines[:max(0, len(lines)+room)]
		room = 0
	}
	for _, l := range m.scene().drawn(width-2*edge, room) {
		lines = append(lines, strings.Repeat(" ", edge)+style.Cell(l, width-edge))
	}
	return append(lines, bottom...), down(z, len(lines), 0)
}

// edge is the left edge of a page, and what stays free at its right.
const edge = 2

// questionTop is progress, the question in large words of so many rows, in full, and
// where to look.
func questionTop(m Model, q query, width, height, large int) []string {
	right, at := brightness(m), q.progress
	if short, _, ok := strings.Cut(at, ";"); ok && ansi.StringWidth(at+right) > width-3*edge {
		at = short
	}
	left := style.Cell("  "+m.style.Accent.Render(at), width-ansi.StringWidth(right)-edge)
	lines := []string{left + right + "  "}
	add := func(l string) { lines = append(lines, "  "+l) }
	if large > 0 && q.large != "" {
		if airy(height) {
			lines = append(lines, "")
		}
		for _, l := range digits.Large(width-2*edge, large, questionWords(q.large)...) {
			add(m.style.Strong.Render(l))
		}
		if airy(height) {
			lines = append(lines, "")
		}
	}
	for _, l := range style.Wrap(q.question, width-2*edge) {
		add(m.style.Strong.Render(l))
	}
	if q.hint != "" && height >= 19 {
		for _, l := range style.Wrap(q.hint, width-2*edge) {
			add(m.style.Quiet.Render(l))
		}
	}
	if roomy(width, height) {
		lines = append(lines, "")
	}
	return lines
}

// roomy pages have the question in large letters.
func roomy(width, height int) bool { return width >= 100 && height >= 30 }

// brightness is the level in force and what holds it down.
func brightness(m Model) string {
	w := m.want()
	switch {
	case w.Ended:
		return m.style.Warn.Render("stream ended")
	case m.light.off:
		return m.style.Warn.Render("light off, l lights it again")
	case m.bench.any && m.bench.snap.Limited:
		return m.style.Warn.Render(fmt.Sprintf("LIMITED to %.3g %%", m.bench.snap.Level*100))
	case m.light.lift > m.light.level:
		return m.style.Warn.Render(fmt.Sprintf("BRIGHTER NOW: %.3g %%", m.light.lift*100))
	}
	return fmt.Sprintf("level %.3g %%", w.Level*100)
}

// answersBelow is the answers, what is still open beside them, and a note.
func answersBelow(m Model, q query, chosen, width, height int) (lines []string, zones []zone) {
	left := width
	beside := width >= 70 && q.open
	if beside {
		left = width * 11 / 20
	}
	columns := 1
	if height < 30 && len(q.items) > 4 {
		columns = columnsFor(q.items, left, 2)
	}
	lines, zones = listed(m.style, q.items, chosen, left, columns)
	if beside {
		lines = withOpen(m, lines, left, width, height)
	}
	if roomy(width, height) {
		lines = append([]string{style.Cell("", width)}, lines...)
		zones = down(zones, 1, 0)
	}
	note, render := m.note, m.style.Strong.Render
	if note == "" {
		note, render = troubleText(m), m.style.Warn.Render
	}
	switch {
	case note != "":
		for _, l := range style.Wrap(note, width-2*edge) {
			lines = append(lines, style.Cell("  "+render(l), width))
		}
	case height >= 19:
		lines = append(lines, style.Cell("", width))
	}
	return lines, zones
}

// withOpen puts what is still open beside lines that are left cells wide.
func withOpen(m Model, lines []string, left, width, height int) []string {
	room := openRows
	if height < 19 {
		room = min(room, len(lines))
	}
	for i, open := range openLines(m.style, m.st.suspects, width-left-1-edge, room) {
		if i >= len(lines) {
			lines = append(lines, style.Cell("", left))
		}
		lines[i] += " " + open
	}
	return lines
}

// openRows is how much room there is at most to say what is still open.
const openRows = 7

// openLines say what is still open, likeliest first, as many as fit whole.
func openLines(st style.Styles, all []suspect, width, room int) []string {
	if len(all) == 0 {
		return nil
	}
	lines := []string{st.Quiet.Render("What it may still be")}
	for i, s := range all {
		if i == 5 || s.share < 0.005 {
			break
		}
		w := style.Cell(weight(s.share), 12)
		if s.share >= likelyFrom {
			w = st.Strong.Render(w)
		}
		text := style.Wrap(s.text, width-12)
		if len(lines)+len(text) > room {
			break
		}
		lines = append(lines, w+text[0])
		for _, l := range text[1:] {
			lines = append(lines, strings.Repeat(" ", 12)+l)
		}
	}
	return lines[:min(len(lines), room)]
}

// answerItems are answers on their keys, and "not sure" on 0.
func answerItems(m Model, answers []checkout.Answer) []item {
	var out []item
	for _, a := range answers {
		out = append(out, item{digit: none, key: a.Press, text: a.Text, far: farWords[a.Sees], sign: swatch(m.style, a.Sees)})
	}
	return level(append(out, item{digit: checkout.NotSure, text: "not sure", quiet: true}))
}

// level gives items without a swatch the room of one, where others have one.
func level(items []item) []item {
	any := slices.ContainsFunc(items, func(it item) bool { return it.sign != "" })
	for i := range items {
		if any && items[i].sign == "" {
			items[i].sign = "  "
		}
	}
	return items
}

// earlierPage is the questions so far, to change an answer.
type earlierPage struct {
	still
	list choice
	from page
}

// seeEarlier opens the questions so far.
func seeEarlier(m Model, from page) Model {
	if len(m.st.asked) == 0 {
		m.note = "Nothing has been answered yet."
		return m
	}
	m.page = earlierPage{list: choice(len(m.st.asked) - 1), from: from}
	return m
}

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
	return []key.Binding{say(m.keys.Digit, "1-9", "choose"), say(m.keys.Take, "enter", "take"), say(m.keys.Leave, "esc", "leave it")}
}

func (p earlierPage) lines(m Model, width, height int) ([]string, []zone) {
	var items []item
	for _, a := range m.st.asked {
		digit := a.ID
		if digit > 9 {
			digit = none
		}
		items = append(items, item{digit: digit, text: fmt.Sprintf("%s  %s", a.Question, m.style.Strong.Render(a.Text()))})
	}
	return titled(m.style, "Which answer was wrong?", items, int(p.list), width, height)
}

// changePage is the answers of one earlier question.
type changePage struct {
	still
	list  choice
	from  earlierPage
	asked checkout.Asked
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
	m.past = nil // they lead to the other answer
	return m.onward(func(s *checkout.Session) error { return s.Change(p.asked.ID, (i+1)%(len(p.asked.Answers)+1)) })
}

func (p changePage) help(m Model) []key.Binding { return p.from.help(m) }

func (p changePage) lines(m Model, width, height int) ([]string, []zone) {
	return titled(m.style, p.asked.Question, answerItems(m, p.asked.Answers), int(p.list), width, height)
}

// titled is a list under a title, with the chosen line in sight.
func titled(st style.Styles, title string, items []item, chosen, width, height int) (lines []string, zones []zone) {
	for _, l := range style.Wrap(title, width-4) {
		lines = append(lines, "  "+st.Accent.Render(l))
	}
	lines = append(lines, "")
	l, z := listed(st, items, chosen, width, 1)
	room, from := height-len(lines), 0
	for _, s := range z {
		if s.item == chosen && s.y1 > room {
			from = s.y1 - room
		}
	}
	zones = down(z, len(lines)-from, 0)
	return append(lines, l[from:]...), zones
}
