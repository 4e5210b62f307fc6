package bench

import (
	"strings"

	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/tui/style"
)

// Keys of the two pages that are the bench's own.
var (
	frontGo    = key.NewBinding(key.WithKeys("enter", " ", "tab"), key.WithHelp("enter", "go to the bench"))
	helpScroll = key.NewBinding(key.WithKeys("up", "down"), key.WithHelp("↑ ↓", "scroll"))
	helpClose  = key.NewBinding(key.WithKeys("any"), key.WithHelp("any key", "back"))
)

// helpLines is the page of every key of the screen shown, then the bench's.
func (m Model) helpLines() []string {
	st := m.opt.Style
	s := m.screens[m.at]
	lines := []string{"", " " + st.Strong.Render("Keys of "+s.Name())}
	lines = append(lines, m.columns(flat(s.Keys().FullHelp()))...)
	lines = append(lines, "", " "+st.Strong.Render("Keys everywhere"))
	return append(lines, m.columns(flat(m.keys.FullHelp()))...)
}

func flat(groups [][]key.Binding) []key.Binding {
	var out []key.Binding
	for _, g := range groups {
		for _, b := range g {
			if b.Enabled() {
				out = append(out, b)
			}
		}
	}
	return out
}

// columns lays bindings out in as many columns as fit, read downwards.
func (m Model) columns(bs []key.Binding) []string {
	keys, text := 0, 0
	for _, b := range bs {
		keys = max(keys, ansi.StringWidth(b.Help().Key))
		text = max(text, ansi.StringWidth(b.Help().Desc))
	}
	each := keys + text + 4
	n := max(1, (m.width-2)/each)
	rows := (len(bs) + n - 1) / n
	out := make([]string, rows)
	for i, b := range bs {
		key := strings.Repeat(" ", keys-ansi.StringWidth(b.Help().Key)) + m.opt.Style.Accent.Render(b.Help().Key)
		out[i%rows] += "  " + key + " " + style.Cell(b.Help().Desc, text) + " "
	}
	return out
}
