package bench

import (
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/tui/style"
)

// A warning is the one line about the traffic that is above the status
// line of every screen but the one that has it all.
type warning struct {
	sentence advice.Sentence // empty text: there is none
	until    time.Time
}

// warningStays is how long a warning outlives its cause, so that one that
// comes and goes does not make the page jump.
const warningStays = 3 * time.Second

// trafficScreen is the name of the screen with the traffic in full.
const trafficScreen = "Traffic"

// after is the warning once n has come.
func (w warning) after(n traffic.News) warning {
	if n.Report == nil {
		return warning{}
	}
	if s, ok := n.Warning(); ok {
		return warning{s, n.Report.At.Add(warningStays)}
	}
	if n.Report.At.After(w.until) {
		return warning{}
	}
	return w
}

// warns reports whether the line is there.
func (m Model) warns() bool {
	return m.warning.sentence.Text != "" && !m.front && m.screens[m.at].Name() != trafficScreen
}

// warningHead is how bad it is.
func (m Model) warningHead() string {
	if m.warning.sentence.Weight == advice.Trouble {
		return "Trouble: "
	}
	return "Warning: "
}

// warningLine is the line: how bad, then the sentence; where it does not fit,
// what to do and why, so that a cut takes the why.
func (m Model) warningLine() string {
	head := m.warningHead()
	text := m.warning.sentence.Line(m.width - len(head) - 2*edge)
	return style.Cell(style.Cell("  "+m.opt.Style.Warn.Render(head)+style.Clean(text), m.width-edge), m.width)
}

// wholeWarning is the warning on as many lines as it takes: in a far view no key shows
// more of it.
func (m Model) wholeWarning() (out []string) {
	head := m.warningHead()
	indent := m.opt.Style.Warn.Render(head)
	for _, l := range style.Wrap(style.Clean(m.warning.sentence.Line(0)), m.width-len(head)-2*edge) {
		out = append(out, style.Cell(strings.Repeat(" ", edge)+indent+l, m.width))
		indent = strings.Repeat(" ", len(head))
	}
	return out
}

// refit tells the screens their height when the line has come or gone.
func (m Model) refit(before int, cmd tea.Cmd) (Model, tea.Cmd) {
	if m.width == 0 || m.body() == before {
		return m, cmd
	}
	n, more := m.all(tea.WindowSizeMsg{Width: m.width, Height: m.body()})
	return n, tea.Batch(cmd, more)
}
