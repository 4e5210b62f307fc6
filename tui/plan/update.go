package plan

import (
	"strings"

	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// Keys are the keys of the help page: others while a value is typed.
func (m Model) Keys() help.KeyMap {
	k := *m.keys
	k.typing, k.changed = m.Typing(), m.changed()
	k.TakeUp.SetEnabled(m.kept != nil)
	k.Drop.SetEnabled(m.kept != nil)
	k.choices = m.editing && len(m.lines[m.at].fig.choices) > 0
	if m.doc == nil {
		k.none = true
		return k
	}
	where := m.lines[m.at].where
	k.missing = m.lines[m.at].empty()
	one := several(where.Table) && where.Index >= 0
	n := m.doc.Given(where.Table)
	k.Remove.SetEnabled(one && (where.Table != "run" || n > 1))
	k.Earlier.SetEnabled(one && where.Index > 0)
	k.Later.SetEnabled(one && where.Index < n-1)
	k.Add.SetEnabled(several(where.Table))
	k.ScrollDown.SetEnabled(m.scroll < m.scrollMost())
	k.ScrollUp.SetEnabled(m.scroll > 0)
	k.Brighter, k.Dimmer = m.levelKeys()
	k.brings = strings.ToLower(pages[m.pageAfter(1)].name())
	k.Page = screen.Hint(k.Page, "v", "next page of results: "+k.brings)
	k.Undo.SetEnabled(len(m.undo) > 0)
	k.Redo.SetEnabled(len(m.redo) > 0)
	return k
}

// levelKeys are the keys of the level: at its ends one does not act.
func (m Model) levelKeys() (up, down key.Binding) {
	up, down = m.keys.Brighter, m.keys.Dimmer
	up.SetEnabled(patterns.NextLevel(m.level, 1) > m.level)
	down.SetEnabled(patterns.NextLevel(m.level, -1) < m.level)
	return up, down
}

// keyless reports whether the keys of the page do not act: they type text, or answer the bench.
func (m Model) keyless() bool { return m.Typing() || m.asking }

// offering is a text without the keys that it offers while the bench takes them.
func (m Model) offering(text string) string {
	if m.keyless() {
		return style.WithoutKeys(text)
	}
	return text
}

// Update handles keys and the results of this screen's commands.
func (m Model) Update(msg tea.Msg) (screen.Screen, tea.Cmd) {
	var cmd tea.Cmd
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.size = msg
		m.size.Width -= 2 * inset
	case screen.ReadyMsg:
		m, cmd = m.ready(msg)
	case screen.TroubleMsg:
		m.refused, m.asked = m.asked, nil
	case screen.AskingMsg:
		m.asking = bool(msg)
	case screen.LeaveMsg:
		m, cmd = m.leave()
	case workedMsg:
		m, cmd = m.worked(msg)
	case restedMsg:
		if msg.edits == m.edits {
			m, cmd = m.connect()
		}
	case loadedMsg:
		m, cmd = m.loaded(msg)
	case savedMsg:
		m, cmd = m.savedAs(msg)
	case tea.KeyMsg:
		m, cmd = m.key(msg)
	case tea.MouseMsg:
		m = m.mouse(msg)
	default:
		return m, nil
	}
	m = m.inSight()
	m.rev = m.drawn.next()
	return m, cmd
}

func (m Model) key(k tea.KeyMsg) (Model, tea.Cmd) {
	if next, cmd, ok := m.keptKey(k); ok {
		return next, cmd
	} else if m = next; m.doc == nil {
		return m, nil
	}
	switch {
	case m.naming:
		return m.nameKey(k)
	case m.editing:
		return m.editKey(k)
	}
	m.note = ""
	if !key.Matches(k, m.keys.Save) {
		m.sure = false
	}
	for _, d := range m.keyActions() {
		if key.Matches(k, d.key) {
			return d.do()
		}
	}
	return m.walk(func(b key.Binding) bool { return key.Matches(k, b) }), nil
}

// A keyAction is the effect of a key on the file or on the level of the power figures.
type keyAction struct {
	key key.Binding
	do  func() (Model, tea.Cmd)
}

func (m Model) keyActions() []keyAction {
	still := func(do func() Model) func() (Model, tea.Cmd) {
		return func() (Model, tea.Cmd) { return do(), nil }
	}
	move := func(by int) func() (Model, tea.Cmd) {
		return func() (Model, tea.Cmd) { return m.move(by) }
	}
	level := func(by int) func() (Model, tea.Cmd) {
		return func() (Model, tea.Cmd) {
			m.level = patterns.NextLevel(m.level, by)
			return m.work()
		}
	}
	return []keyAction{
		{m.keys.Edit, still(m.edit)}, {m.keys.Add, m.add}, {m.keys.Remove, m.remove},
		{m.keys.Earlier, move(-1)}, {m.keys.Later, move(1)},
		{m.keys.Undo, m.goBack}, {m.keys.Redo, m.goOn},
		{m.keys.Save, m.save}, {m.keys.SaveAs, still(m.askName)},
		{m.keys.Brighter, level(1)}, {m.keys.Dimmer, level(-1)},
		{m.keys.Colour, func() (Model, tea.Cmd) {
			m.colour = (m.colour + 1) % len(m.colours())
			return m.work()
		}},
	}
}

// walk handles the keys that change only what is shown.
func (m Model) walk(is func(key.Binding) bool) Model {
	switch {
	case is(m.keys.Up):
		m = m.choose(m.at-1, -1)
	case is(m.keys.Down):
		m = m.choose(m.at+1, 1)
	case is(m.keys.Left):
		m = m.section(-1)
	case is(m.keys.Right):
		m = m.section(1)
	case is(m.keys.First):
		m = m.choose(0, 1)
	case is(m.keys.Last):
		m = m.choose(len(m.lines)-1, -1)
	case is(m.keys.More):
		m.all = !m.all
		m = m.list()
	case is(m.keys.Page):
		m = m.turn(1)
	case is(m.keys.PageBack):
		m = m.turn(-1)
	case is(m.keys.ScrollDown):
		m.scroll += scrollStep
	case is(m.keys.ScrollUp):
		m.scroll = max(0, m.scroll-scrollStep)
	}
	m.scroll = min(m.scroll, m.scrollMost())
	return m
}

// scrollStep is the rows a key scrolls the results by.
const scrollStep = 5

// choose goes to line i, or to the next figure from there in the given direction, if there
// is one.
func (m Model) choose(i, dir int) Model {
	for ; i >= 0 && i < len(m.lines); i += dir {
		if m.lines[i].head == "" {
			m.at = i
			m.showFigures()
			break
		}
	}
	return m
}

// showFigures shows the figures on a narrow page, after a key has moved in them.
func (m *Model) showFigures() {
	if m.layout() == narrow {
		m.page = figuresPage{}
	}
}

// section goes to the first figure of the section before or after.
func (m Model) section(by int) Model {
	here := m.lines[m.at].where
	i := m.at
	for ; i >= 0 && i < len(m.lines); i += by {
		if w := m.lines[i].where; w.Table != here.Table || w.Index != here.Index {
			break
		}
	}
	if i < 0 || i >= len(m.lines) {
		return m
	}
	if by < 0 { // back to its heading
		for w := m.lines[i].where; i > 0 && m.lines[i-1].where.Table == w.Table && m.lines[i-1].where.Index == w.Index; {
			i--
		}
	}
	return m.choose(i, 1)
}

// leave accepts the typed value, if it is valid, and connects the changed prop.
func (m Model) leave() (Model, tea.Cmd) {
	var cmds []tea.Cmd
	if m.editing {
		var c tea.Cmd
		m, c = m.accept()
		cmds = append(cmds, c)
	}
	m, c := m.connect()
	return m, tea.Batch(append(cmds, c)...)
}

// mouse chooses a figure and scrolls with the wheel.
func (m Model) mouse(e tea.MouseMsg) Model {
	if e.Action != tea.MouseActionPress || m.doc == nil || m.Typing() {
		return m
	}
	left := m.layout() != narrow && e.X-inset < m.leftWidth() || m.layout() == narrow && m.page == (figuresPage{})
	switch e.Button {
	case tea.MouseButtonWheelDown, tea.MouseButtonWheelUp:
		by := 1
		if e.Button == tea.MouseButtonWheelUp {
			by = -1
		}
		if left {
			return m.choose(m.at+by, by)
		}
		m.scroll = max(0, min(m.scroll+2*by, m.scrollMost()))
	case tea.MouseButtonLeft:
		if i, ok := m.figureAt(e.Y); left && ok {
			m.at = i
		}
	}
	return m
}

// figureAt is the figure that the list shows in a row of the screen.
func (m Model) figureAt(y int) (int, bool) {
	if m.layout() == narrow {
		y -= m.tabGap(m.left())
	}
	off := m.listOff(0)
	i := off + y - m.top()
	shown := y >= m.top() && i >= off && y < m.top()+m.listRows() && i < len(m.lines)
	return i, shown && m.lines[i].head == "" && !(i == off && m.headOver(i) >= 0)
}

func clean(err error) string { return style.Clean(err.Error()) }
