package bench

import (
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/tui/style"
)

// A warning is the line about the traffic above the status line, on every screen but
// Traffic.
type warning struct {
	sentence advice.Sentence // with an empty text for no warning
	until    time.Time
}

// warningStays is the time that a warning stays after its cause has ended, so that the
// page does not change its height often.
const warningStays = 3 * time.Second

// trafficScreen is the name of the screen with the traffic in full.
const trafficScreen = "Traffic"

// after is the warning after n.
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

// warns reports whether the line is shown.
func (m Model) warns() bool {
	return m.warning.sentence.Text != "" && !m.front && m.screens[m.at].Name() != trafficScreen
}

// warningHead is the severity in a word.
func (m Model) warningHead() string {
	if m.warning.sentence.Weight == advice.Trouble {
		return "TROUBLE:"
	}
	return "WARNING:"
}

// warningLine is the severity and the sentence. When it does not fit, the remedy comes
// before the reason, so that the reason is cut.
func (m Model) warningLine() string {
	head := m.warningHead()
	text := m.warning.sentence.Line(m.width - len(head) - 1 - 2*edge)
	return style.Cell(style.Cell("  "+m.opt.Style.Warn.Render(head)+" "+style.Clean(text), m.width-edge), m.width)
}

// wholeWarning is the whole warning in lines, for the far view, which has no key to show
// more.
func (m Model) wholeWarning() (out []string) {
	head := m.warningHead()
	indent := m.opt.Style.Warn.Render(head) + " "
	for _, l := range style.Wrap(style.Clean(m.warning.sentence.Line(0)), m.width-len(head)-1-2*edge) {
		out = append(out, style.Cell(strings.Repeat(" ", edge)+indent+l, m.width))
		indent = strings.Repeat(" ", len(head)+1)
	}
	return out
}

// refit sends the screens their new height when the line has appeared or gone.
func (m Model) refit(before int, cmd tea.Cmd) (Model, tea.Cmd) {
	if m.width == 0 || m.body() == before {
		return m, cmd
	}
	n, more := m.all(tea.WindowSizeMsg{Width: m.width, Height: m.body()})
	return n, tea.Batch(cmd, more)
}
