package bench

import (
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// Keys of the two pages that are the bench's own; FrontGo is named in the README too.
var (
	FrontGo    = screen.Key("enter", "go to the bench", "enter", " ", "tab")
	toSetUp    = screen.Key("S", "fill in Set-up", "S")
	helpScroll = screen.Key("↑ ↓", "scroll", "up", "down")
	farBack    = screen.Key("f", "back to the page", "f", "esc")
	helpClose  = screen.Key("any key", "back", "any")
	stay       = screen.Key("any other key", "stays", "any") // asked whether to leave
)

// helpLines is the page of every key of the screen shown, then the bench's.
func (m Model) helpLines() []string {
	st := m.opt.Style
	own, bench := m.pageKeys()
	keys, _ := widest(append(slices.Clip(own), bench...)) // one column for both lists
	if both := m.abreast(own, bench); both != nil {
		return append(both, m.helpLarge(m.body()-len(both))...)
	}
	var lines []string
	if len(own) > 0 {
		lines = append([]string{"  " + st.Strong.Render("Keys of "+m.pageName())}, m.columns(own, keys, len(own)+len(bench))...)
		lines = append(lines, "")
	}
	lines = append(lines, "  "+st.Strong.Render("Keys everywhere"))
	lines = append(lines, m.columns(bench, keys, len(lines)-helpHeads+len(bench))...)
	return append(lines, m.helpLarge(m.body()-len(lines))...)
}

// pageKeys are the keys of the page that is shown, and those of the bench that act there.
func (m Model) pageKeys() (own, bench []key.Binding) {
	if m.front {
		k := m.keys
		return []key.Binding{FrontGo}, []key.Binding{k.Jump, k.Help, k.Quit, k.Leave}
	}
	s := m.screens[m.at]
	m.keys.Simulate.SetEnabled(m.canSimulate())
	w, ok := s.(screen.Waiter)
	m.keys.Motion.SetEnabled(ok && w.Waiting())
	own = flat(append(s.Keys().FullHelp(), []key.Binding{m.keys.Motion}))
	m.keys.Motion.SetEnabled(false) // it acts only on a page that waits
	bench = flat(m.keys.FullHelp())
	if s.Typing() { // letters are text
		k := m.keys
		if _, ok := s.(screen.Prose); ok {
			k.Help = screen.Hint(k.Help, "f1", k.Help.Help().Desc)
		}
		bench = []key.Binding{k.Next, k.Prev, screen.Hint(k.Far, "ctrl+f", k.Far.Help().Desc), k.Help, screen.Hint(k.Leave, "ctrl+c", k.Quit.Help().Desc)}
	}
	if m.wantsSetUp() && !s.Typing() {
		bench = append([]key.Binding{toSetUp}, bench...)
	}
	return own, bench
}

// pageName is the name of the page shown.
func (m Model) pageName() string {
	if m.front {
		return "the first page"
	}
	return m.screens[m.at].Name()
}

// abreast are the keys of the screen and of the bench side by side, each below its
// heading; nil when they do not fit.
func (m Model) abreast(own, bench []key.Binding) []string {
	if len(own) == 0 || m.width < besideWidth {
		return nil
	}
	const gap = 3 * edge
	st := m.opt.Style
	left := append([]string{"  " + st.Strong.Render("Keys of "+m.pageName())}, m.inRows(own, len(own))...)
	right := append([]string{"  " + st.Strong.Render("Keys everywhere")}, m.inRows(bench, len(bench))...)
	wide := style.Width(left[1])
	if wide+gap+style.Width(right[1]) > m.width-edge {
		return nil
	}
	return style.Beside(left, right, wide+gap)
}

// wantsSetUp reports whether the page needs a prop and there is none.
func (m Model) wantsSetUp() bool {
	return m.status.ready.Prop == nil && m.screens[m.at].Name() != "Set-up"
}

// helpPage is the visible part of the page of keys, with a note where there is more.
func (m Model) helpPage() string {
	lines := m.helpLines()
	lines = lines[min(m.scroll, len(lines)):]
	if rows := m.body(); len(lines) > rows && rows > 0 {
		lines, _ = style.Cut(lines, rows)
		lines = append(lines, m.opt.Style.More("  … more below", "↓"))
	}
	return strings.Join(lines, "\n")
}

// helpLarge are the most needed keys in large letters, where rows are left for them.
func (m Model) helpLarge(rows int) []string {
	var keys []string
	short := m.screens[m.at].Keys().ShortHelp()
	if m.front {
		short = nil
	}
	for _, b := range short {
		does, _, _ := strings.Cut(b.Help().Desc, ",")
		text := digits.Whole(strings.TrimSuffix(b.Help().Key, " 0")) + " " + does // the list has the 0 of "1-7 0"
		if b.Enabled() && digits.Alike(10*len(text), digits.Rows, text) != nil {  // arrows have no large letters
			keys = append(keys, text)
		}
	}
	for n := len(keys); n >= 2; n-- {
		if large := m.largeAnswers(keys[:n], m.width-2*edge, rows-1); large != nil {
			return append([]string{""}, large...)
		}
	}
	return nil
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

// columns lays bindings out in as few columns as the page's rows allow, read downwards.
// When not even one column fits, descriptions are wrapped. keys is the width of the keys
// in a single column.
func (m Model) columns(bs []key.Binding, keys, all int) []string {
	_, text := widest(bs)
	best := m.listed(bs, keys, min(text, m.width-2*edge-keys-2))
	for n := 2; n <= len(bs) && all > m.body()-helpHeads; n++ {
		rows := (len(bs) + n - 1) / n
		out := m.inRows(bs, rows)
		if ansi.StringWidth(out[0]) > m.width-edge {
			break
		}
		all -= len(best) - len(out)
		best = out
	}
	return best
}

// helpHeads is the number of rows of the page of keys without keys: two headings and an
// empty row between them.
const helpHeads = 3

// inRows lays bindings out in columns of a given number of rows.
func (m Model) inRows(bs []key.Binding, rows int) []string {
	out := make([]string, rows)
	for at := 0; at < len(bs); at += rows {
		column := bs[at:min(at+rows, len(bs))]
		keys, text := widest(column)
		gap := strings.Repeat(" ", edge)
		if at > 0 {
			gap += gap
		}
		for i, b := range column {
			out[i] += gap + m.keyCell(b, keys) + "  " + style.Cell(b.Help().Desc, text)
		}
	}
	return out
}

// widest are the widths of the widest key and the widest description, in cells.
func widest(bs []key.Binding) (keys, text int) {
	for _, b := range bs {
		keys, text = max(keys, ansi.StringWidth(b.Help().Key)), max(text, ansi.StringWidth(b.Help().Desc))
	}
	return keys, text
}

func (m Model) listed(bs []key.Binding, keys, text int) (out []string) {
	for _, b := range bs {
		head := m.keyCell(b, keys)
		for _, l := range style.Wrap(b.Help().Desc, text) {
			out = append(out, "  "+head+"  "+l)
			head = strings.Repeat(" ", keys)
		}
	}
	return out
}

// keyCell is a key in its column, aligned left.
func (m Model) keyCell(b key.Binding, width int) string {
	return style.Cell(m.opt.Style.Accent.Render(b.Help().Key), width)
}
