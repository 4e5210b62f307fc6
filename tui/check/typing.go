package check

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/entry"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// typingPage is a line being typed: where to record, a count, or a reading.
type typingPage struct {
	basePage
	what  string
	line  entry.Line
	kind  lineKind
	under page // the page on which it was begun
	do    func(Model, string) (Model, tea.Cmd)
}

// A lineKind is what may be typed into a line.
type lineKind struct {
	letters string // that may be typed; empty allows all
	most    int    // bytes
}

// pathLine is a line that names a file; the others are a test's.
var pathLine = lineKind{most: 500}

var testLines = map[single.Line]lineKind{
	single.CountLine: {"0123456789", 8},
	single.VoltsLine: {"0123456789.,-vV ", 8},
}

// ask opens a line to be typed; do gets its text.
func (m Model) ask(what string, kind lineKind, text string, do func(Model, string) (Model, tea.Cmd)) Model {
	m.page = typingPage{what: what, line: entry.Of(text, kind.most), kind: kind, under: m.page, do: do}
	return m
}

func (p typingPage) shows(m Model) show.Want       { return p.under.shows(m) }
func (p typingPage) lift(m Model) float64          { return p.under.lift(m) }
func (p typingPage) leave(m Model) Model           { m.page = p.under; return m }
func (p typingPage) back(m Model) (Model, tea.Cmd) { return p.leave(m), nil }
func (typingPage) traits(Model) traits             { return traits{loses: true, typing: true} }

// press takes every key: all belong to the line.
func (p typingPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	switch k.Type {
	case tea.KeyEsc:
		return p.leave(m), nil, true
	case tea.KeyEnter:
		text := strings.TrimSpace(p.line.String())
		if text == "" {
			m.note = "Type something first, or leave with esc."
			return m, nil, true
		}
		m, cmd := p.do(p.leave(m), text)
		return m, cmd, true
	}
	if p.kind.letters != "" {
		k.Runes = []rune(strings.Map(func(r rune) rune {
			if strings.ContainsRune(p.kind.letters, r) {
				return r
			}
			return -1
		}, string(k.Runes)))
	}
	p.line = p.line.Key(k)
	m.page = p
	return m, nil, true
}

func (p typingPage) help(m Model) []key.Binding {
	return []key.Binding{screen.Hint(m.keys.Take, "enter", "accept"), screen.Hint(m.keys.Leave, "esc", "back")}
}

// pictures are those of the page below, so that the place to measure stays drawn.
func (p typingPage) pictures(m Model) pictures { return p.under.pictures(m) }

// howToType are the keys of a line being typed, between backquotes.
const howToType = takesLine + "; `←` `→` `home` `end` move, `ctrl+u` clears"

// takesLine are those that end it; a row may end after the comma.
const takesLine = "`enter` accepts\u00a0it, `esc` leaves\u00a0it\u00a0as\u00a0it\u00a0was"

// typingHelp is howToType in lines; on a narrow page the keys that it can't do without.
func typingHelp(st style.Styles, width int) []string {
	text := howToType
	if width < narrow-2*edge {
		text = takesLine
	}
	return style.WrapKeys(text, width, st.Quiet, st.Accent)
}

// farView is the text typed so far, or else what it is typed for.
func (p typingPage) farView(m Model) screen.FarView {
	if t, ok := p.under.(testPage); ok && p.line.String() != "" {
		return screen.FarView{Texts: p.query(m, t).large}
	}
	return p.under.farView(m)
}

// typingRows is the number of rows of a line being typed with its keys.
func typingRows(width int) int { return 1 + len(typingHelp(style.Styles{}, width-2*edge)) }

func (p typingPage) lines(m Model, width, height int) ([]string, []zone) {
	if t, ok := p.under.(testPage); ok {
		return asking(m, p.query(m, t), none, width, height)
	}
	var lines []string
	for _, l := range style.Wrap(p.what, width-4) {
		lines = append(lines, "  "+m.style.Strong.Render(l))
	}
	lines = append(lines, "", "  "+m.style.Typed().Render(p.line.View(width-4)), "")
	lines = append(lines, style.Indent(typingHelp(m.style, width-2*edge), edge)...)
	if m.note != "" {
		lines = append(lines, "", "  "+m.note)
	}
	large := portrait.Block(m.style, width-2*edge, min(height-len(lines), 4*digits.Rows+1), p.what)
	return append(lines, style.Indent(large, edge)...), nil
}

// query is the step for which a reading or a count is typed, with the line in place of the
// answers and its text in large letters.
func (p typingPage) query(m Model, under testPage) query {
	q := under.query(m)
	if under.now().Other != "" { // the keys of the hint now type letters
		q.hint = ""
	}
	q.typed = func(width int) []string {
		return append([]string{p.labelled(m, under.now().Typed, width-2*edge)}, typingHelp(m.style, width-2*edge)...)
	}
	if text := p.line.String(); text != "" {
		q.large = typedWords(under.now(), text)
	}
	return q
}

// labelled is the line with what it is and its unit.
func (p typingPage) labelled(m Model, kind single.Line, width int) string {
	what, unit := "Reading: ", " V"
	if kind == single.CountLine {
		what, unit = "Count: ", " pixels"
	}
	if strings.ContainsAny(p.line.String(), "vV") {
		unit = ""
	}
	typed := m.style.Typed().Render(p.line.View(width - len(what) - len(unit)))
	return m.style.Quiet.Render(what) + typed + m.style.Quiet.Render(unit)
}

// typedWords are the large texts of what was typed, with its unit and, of a reading, its pixel.
func typedWords(s single.Step, text string) []string {
	if s.Typed != single.VoltsLine {
		return []string{text}
	}
	if !strings.ContainsAny(text, "vV") {
		text += " V"
	}
	if len(s.Marks) == 0 {
		return []string{text}
	}
	at := s.Marks[0].First + 1
	return []string{fmt.Sprintf("Pixel %d: %s", at, text), fmt.Sprintf("%s at %d", text, at)}
}
