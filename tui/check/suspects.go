package check

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/show"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// openRows is the least number of rows for the open explanations.
const openRows = 7

// weightWide is the width of the column with a suspect's posterior.
const weightWide = len("99 %  ")

// openLines list the open explanations, likeliest first, as many as fit, then the number
// of the others and the key that lists them.
func openLines(st style.Styles, all []suspect, width, room int) []string {
	if len(all) == 0 {
		return nil
	}
	lines := []string{st.Quiet.Render("What it may still be")}
	for i, s := range all {
		next := s.lines(st, width)
		foot := min(1, len(all)-i-1) // the row with the number of the others
		if len(lines)+len(next)+foot > room {
			more := st.Quiet.Render("… ") + st.Accent.Render("a") + st.Quiet.Render(fmt.Sprintf(" shows %d more", len(all)-i))
			lines = lines[:min(len(lines), room-1)]
			if len(lines)+1 < room && room > leastApart {
				lines = append(lines, "")
			}
			return append(lines, more)
		}
		lines = append(lines, next...)
	}
	return lines
}

// boldFrom is the posterior from which a suspect's number is bold.
const boldFrom = 0.25

// lines are the posterior in words and the suspect.
func (s suspect) lines(st style.Styles, width int) []string {
	w := style.Cell(weight(s.percent), weightWide)
	if s.share >= boldFrom {
		w = st.Strong.Render(w)
	}
	lines := style.Wrap(s.whole(), width-weightWide)
	for i := range lines {
		lines[i] = w + lines[i]
		w = strings.Repeat(" ", weightWide)
	}
	return lines
}

// whole is the text with the number of its cases and their noun in one piece: torn from it a
// number is misread.
func (s suspect) whole() string {
	const noBreak = "\u00a0" // a space at which no line is broken
	i := strings.LastIndex(s.text, ": ")
	if i < 0 || !strings.HasSuffix(s.text, " fit") {
		return s.text
	}
	return s.text[:i+2] + strings.Replace(s.text[i+2:], " ", noBreak, 1)
}

// suspectsPage lists all open explanations, with their places on the drawing.
type suspectsPage struct {
	basePage
	scroll scroll
	from   page
	turn   int // of its drawings
}

func (p suspectsPage) shows(m Model) show.Want       { return p.from.shows(m) }
func (p suspectsPage) pictures(m Model) pictures     { return p.from.pictures(m) }
func (p suspectsPage) leave(m Model) Model           { m.page, m.turn = p.from, p.turn; return m }
func (p suspectsPage) back(m Model) (Model, tea.Cmd) { return p.leave(m), nil }

func (p suspectsPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	width, height := textRoom(m, true, p.large(m))
	if at, ok := p.scroll.moved(m, k, len(p.text(m, width)), height); ok {
		p.scroll = at
		m.page = p
		return m, nil, true
	}
	if key.Matches(k, m.keys.All) {
		return p.leave(m), nil, true
	}
	return m, nil, false
}

func (p suspectsPage) help(m Model) []key.Binding {
	keys := []key.Binding{screen.Hint(m.keys.Leave, "esc", "question")}
	if m.size.Width < narrow {
		keys = append(keys, screen.Hint(m.keys.View, "v", "where"))
	}
	return m.scrolls(keys, true, p.large(m), p.text)
}

// large is the number of lines of the list.
func (suspectsPage) large(m Model) []string {
	n := len(m.st.suspects)
	return []string{words.Count(n, "explanation") + " left", "Explanations: " + fmt.Sprint(n), fmt.Sprintf("%d possible", n)}
}

func (p suspectsPage) farView(m Model) screen.FarView { return screen.FarView{Texts: p.large(m)} }

func (p suspectsPage) text(m Model, width int) []string { return p.written(m, width).lines }

func (suspectsPage) written(m Model, width int) *lineWriter {
	t := &lineWriter{style: m.style, width: width}
	t.say(edge, "What it may still be, likeliest first", m.style.Strong.Render)
	t.gap()
	for _, s := range m.st.suspects {
		t.begins()
		t.lines = append(t.lines, style.Indent(s.lines(m.style, width-2*edge), edge)...)
	}
	return t
}

func (p suspectsPage) lines(m Model, width, height int) ([]string, []zone) {
	pl := textBesideDrawing{large: p.large(m), text: func(w int) *lineWriter { return p.written(m, w) }, scroll: p.scroll}
	if sc := m.scene(); sc.sub != nil {
		pl.keys, pl.sheet, pl.draw = openKey(sc.ranks()), &m.draw.open, sc.stillOpen
	}
	return pl.lines(m, width, height), nil
}
