package bench

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// View draws the whole terminal.
func (m Model) View() string {
	switch {
	case m.width == 0:
		return "" // no size yet
	case m.tooSmall():
		return m.small()
	}
	var page string
	switch {
	case m.far && !m.front && !m.help:
		return m.farView()
	case m.help:
		page = m.helpPage()
	case m.front:
		page = m.frontPage()
	default:
		page = m.screens[m.at].View(m.width, m.body())
	}
	warning := ""
	if m.warns() {
		warning = m.warningLine() + "\n"
	}
	empty := style.Cell("", m.width) + "\n"
	return m.head() + "\n" + strings.Repeat(empty, m.margin()) + style.Fit(page, m.width, m.body()) + "\n" + empty + warning +
		style.Cell(m.statusLine(), m.width) + "\n" + style.Cell(m.foot(), m.width)
}

// edge is the left edge of everything on a page, in cells.
const edge = 2

// farView is the far view, with the warning and the key to leave it below.
func (m Model) farView() string {
	own := m.keys.ShortHelp()
	keys := []key.Binding{farBack, own[2], own[3]}
	if len(m.shownFar().Answers) > 0 {
		if m.width < 80 {
			keys[0] = screen.Hint(farBack, "f", "back")
		}
		keys = slices.Insert(keys, 0, m.answerKeys()...)
	}
	foot := m.short(keys, 0)
	below := []string{style.Cell("", m.width), style.Cell(foot, m.width)}
	if m.warning.sentence.Text != "" {
		below = slices.Insert(below, 1, append(m.wholeWarning(), style.Cell("", m.width))...)
	}
	if m.sure || m.leaving {
		below = slices.Insert(below, 1, style.Cell(m.statusLine(), m.width))
	}
	rows := m.height - len(below)
	return style.Fit(m.farPage(m.width, rows), m.width, rows) + "\n" + strings.Join(below, "\n")
}

// answerKeys are the hint of the keys that answers shown from afar have: the first of their page.
func (m Model) answerKeys() []key.Binding {
	of := m.screens[m.at].Keys().ShortHelp()
	return of[:min(1, len(of))]
}

// small says that the window is too small.
func (m Model) small() string {
	s := fmt.Sprintf("This window is %d x %d, and ringout needs %d x %d: make it larger.",
		m.width, m.height, MinWidth, MinHeight)
	if m.sure {
		s = m.question()
	}
	return style.Fit(strings.Join(style.Wrap(s, m.width), "\n"), m.width, m.height)
}

// propNames are names of the prop for the head line, each shorter than the one before.
func (m Model) propNames() []string {
	p := m.status.ready.Prop
	if p == nil {
		return []string{"no prop"}
	}
	name := style.Clean(p.Name)
	if name == "" {
		name = "strip"
	}
	if m.status.ready.Demo {
		return []string{name + ", simulated", "simulated"}
	}
	return []string{name}
}

// foot is the line of the most needed keys.
func (m Model) foot() string {
	own := m.keys.ShortHelp()
	next, far, help, quit := own[0], own[1], own[2], own[3]
	switch {
	case m.leaving:
		return ""
	case m.sure: // only the keys of the question act now
		quit.SetHelp(m.asked, quit.Help().Desc)
		return m.short([]key.Binding{stay, quit}, 0)
	case m.front:
		return m.short([]key.Binding{FrontGo, help, quit}, 1)
	case m.help:
		scroll := helpScroll
		scroll.SetEnabled(len(m.helpLines()) > m.body())
		return m.short([]key.Binding{scroll, helpClose, quit}, 1)
	}
	if m.screens[m.at].Typing() {
		quit.SetHelp("ctrl+c", quit.Help().Desc)
		far.SetHelp("ctrl+f", far.Help().Desc)
		help.SetHelp("f1", help.Help().Desc) // in a field of numbers ? acts too, but one hint is enough
	}
	if m.width < 80 { // the page's own keys need the room
		next.SetHelp(next.Help().Key, "next")
		far.SetHelp(far.Help().Key, "far")
		help.SetHelp(help.Help().Key, "keys")
	}
	own = m.screens[m.at].Keys().ShortHelp()
	first := min(len(own), m.needed())
	if m.wantsSetUp() {
		own, first = append([]key.Binding{toSetUp}, own...), first+1
	}
	at := 0
	if m.width < besideWidth && m.screens[m.at].Typing() {
		own, at = whileTyping(own)
		first = at
	}
	return m.short(append(slices.Insert(slices.Clone(own), at, next), far, help, quit), first+1)
}

// whileTyping are the keys that act while text is typed into a narrow window, and how many come before the
// key of the next page: up to that which gives the text up, else two.
func whileTyping(own []key.Binding) (acting []key.Binding, before int) {
	for _, b := range own {
		if b.Enabled() {
			acting = append(acting, b)
		}
	}
	if esc := slices.IndexFunc(acting, func(b key.Binding) bool { return b.Help().Key == "esc" }); esc >= 0 {
		return acting, esc + 1
	}
	return acting, min(2, len(acting))
}

// needed is the number of the page's keys that come before the far view's in a narrow
// window.
func (m Model) needed() int {
	if m.width < besideWidth {
		return 2
	}
	return 3
}

// short writes bindings on one line. When they do not fit, the last two stay, then the
// first ones up to first, then the one before the last two, then the others.
func (m Model) short(bs []key.Binding, first int) string {
	gap := "   "
	if m.width < 80 {
		gap = "  "
	}
	n := len(bs)
	order := []int{n - 2, n - 1}
	for i := range min(first, n-2) {
		order = append(order, i)
	}
	if n-3 >= first {
		order = append(order, n-3)
	}
	for i := first; i < n-3; i++ {
		order = append(order, i)
	}
	width, shown := edge-len(gap), make([]bool, n)
	for k, i := range order {
		w := keyWidth(bs[i]) + len(gap)
		if shown[i] = k < 2 || bs[i].Enabled() && width+w <= m.width-edge; shown[i] {
			width += w
		}
	}
	var out []string
	for i, b := range bs {
		if shown[i] {
			out = append(out, m.opt.Style.Accent.Render(b.Help().Key)+" "+b.Help().Desc)
		}
	}
	return strings.Repeat(" ", edge) + strings.Join(out, gap)
}

func keyWidth(b key.Binding) int {
	return style.Width(b.Help().Key) + 1 + style.Width(b.Help().Desc)
}
