package check

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// View draws the page.
func (m Model) View(width, height int) string {
	lines, _ := m.laid(width, height)
	return style.Fit(strings.Join(lines, "\n"), width, height)
}

// laid is the page and where its items stand.
func (m Model) laid(width, height int) (lines []string, zones []zone) {
	if m.entering != nil {
		return m.enteringView(width), nil
	}
	switch m.page {
	case questionPage:
		return m.questionView(width, height)
	case countPage:
		return m.countView(width, height)
	case earlierPage, changePage:
		return m.earlierView(width, height)
	case findingPage:
		return m.findingView(width, height), nil
	case countedPage:
		return m.countedView(width, height), nil
	case drillPage:
		q, _ := m.drill.query(m)
		return m.asking(q, width, height)
	case drilledPage:
		return m.drilledView(width, height), nil
	case planPage:
		return m.planView(width, height), nil
	}
	lines, zones = m.startView(width, height)
	return m.inSight(lines, zones, height)
}

// inSight moves a page that is too long up so far that the chosen line shows.
func (m Model) inSight(lines []string, zones []zone, height int) ([]string, []zone) {
	from := 0
	for _, z := range zones {
		if z.item == m.at {
			from = max(0, z.y1-height)
		}
	}
	return lines[min(from, len(lines)):], down(zones, -from, 0)
}

// enteringView is a line being typed.
func (m Model) enteringView(width int) []string {
	e := m.entering
	lines := []string{""}
	for _, l := range style.Wrap(e.what, width-4) {
		lines = append(lines, "  "+m.style.Strong.Render(l))
	}
	lines = append(lines, "", "  "+e.line.View(width-4), "")
	for _, l := range style.Wrap("enter takes it, esc leaves it, ← → home end move in it, ctrl+u clears it.", width-4) {
		lines = append(lines, "  "+m.style.Quiet.Render(l))
	}
	if m.note != "" {
		lines = append(lines, "", "  "+m.note)
	}
	return lines
}

// roomy pages have the question in large letters.
func roomy(width, height int) bool { return width >= 100 && height >= 30 }

// A query is what the question page and the roll call have in common.
type query struct {
	progress, large, question, hint string
	items                           []item
}

func (m Model) query() query {
	if !m.st.more {
		return query{progress: m.progress()}
	}
	p := m.st.probe
	return query{m.progress(), headline(p.Spec), style.Clean(p.Question), style.Clean(p.Hint), m.answerItems(p.Answers)}
}

func (m Model) questionView(width, height int) ([]string, []zone) {
	return m.asking(m.query(), width, height)
}

// asking is a page with a question above, drawings, and answers below.
func (m Model) asking(q query, width, height int) (lines []string, zones []zone) {
	lines = m.top(q, width, height)
	bottom, z := m.bottom(q, width, height)
	room := height - len(lines) - len(bottom)
	if room < 0 { // the answers matter more than the end of a long question
		lines = lines[:max(0, len(lines)+room)]
		room = 0
	}
	lines = append(lines, m.drawn(width, room)...)
	return append(lines, bottom...), down(z, len(lines), 0)
}

// top is progress, the question, and where to look.
func (m Model) top(q query, width, height int) []string {
	right := m.brightness()
	left := style.Cell(" "+m.style.Accent.Render(q.progress), width-ansi.StringWidth(right)-1)
	lines := []string{left + right + " "}
	if roomy(width, height) && q.large != "" {
		lines = append(lines, "")
		for _, l := range digits.Words(q.large) {
			lines = append(lines, " "+m.style.Strong.Render(l))
		}
		lines = append(lines, "")
	}
	for _, l := range style.Wrap(q.question, width-2) {
		lines = append(lines, " "+m.style.Strong.Render(l))
	}
	if q.hint != "" && height >= 19 {
		for _, l := range style.Wrap(q.hint, width-2) {
			lines = append(lines, " "+m.style.Quiet.Render(l))
		}
	}
	if roomy(width, height) {
		lines = append(lines, "")
	}
	return lines
}

// brightness is the level in force and what holds it down.
func (m Model) brightness() string {
	w := m.want()
	switch {
	case w.Ended:
		return m.style.Warn.Render("stream ended")
	case m.dark:
		return m.style.Warn.Render("dark, l lights it again")
	case m.any && m.snap.Limited:
		return m.style.Warn.Render(fmt.Sprintf("LIMITED to %.3g %%", m.snap.Level*100))
	case m.lift > m.level:
		return m.style.Warn.Render(fmt.Sprintf("BRIGHTER NOW: %.3g %%", m.lift*100))
	}
	return fmt.Sprintf("level %.3g %%", w.Level*100)
}

// bottom is the answers, what is still open beside them, and a note.
func (m Model) bottom(q query, width, height int) (lines []string, zones []zone) {
	left := width
	beside := width >= 70 && m.page == questionPage
	if beside {
		left = width * 11 / 20
	}
	columns := 1
	if height < 30 && len(q.items) > 4 {
		columns = columnsFor(q.items, left, 2)
	}
	lines, zones = m.listed(q.items, m.at, left, columns)
	if roomy(width, height) {
		lines = append([]string{style.Cell("", left)}, lines...)
		zones = down(zones, 1, 0)
	}
	var open []string
	if room := openRows; beside {
		if height < 19 {
			room = min(room, len(lines))
		}
		open = m.openLines(width-left-1, room)
	}
	for i := range open {
		if i >= len(lines) {
			lines = append(lines, style.Cell("", left))
		}
		lines[i] += " " + open[i]
	}
	note, render := m.note, m.style.Strong.Render
	if note == "" {
		note, render = m.trouble(), m.style.Warn.Render
	}
	switch {
	case note != "":
		lines = append(lines, style.Cell(" "+render(note), width))
	case height >= 19:
		lines = append(lines, style.Cell("", width))
	}
	return lines, zones
}

// openRows is how much room there is at most to say what is still open.
const openRows = 7

// openLines say what is still open, likeliest first, as many as fit whole.
func (m Model) openLines(width, room int) []string {
	if len(m.st.suspects) == 0 {
		return nil
	}
	lines := []string{m.style.Quiet.Render("What it may still be")}
	for i, s := range m.st.suspects {
		if i == 5 || s.share < 0.005 {
			break
		}
		w := style.Cell(weight(s.share), 12)
		if s.share >= likelyFrom {
			w = m.style.Strong.Render(w)
		}
		text := style.Wrap(s.text, width-12)
		if len(lines)+len(text) > room {
			break
		}
		for k, l := range text {
			if k == 0 {
				lines = append(lines, w+l)
			} else {
				lines = append(lines, strings.Repeat(" ", 12)+l)
			}
		}
	}
	return lines[:min(len(lines), room)]
}
