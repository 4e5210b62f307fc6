package record

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// Update handles keys and the results of commands.
func (m Model) Update(msg tea.Msg) (screen.Screen, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.size = msg
	case screen.ReadyMsg:
		return m.ready(msg)
	case screen.EnterMsg:
		m.shown = true
		return m.read()
	case screen.AskingMsg:
		m.asking = bool(msg)
	case screen.LeaveMsg:
		m.shown = false
	case screen.RecordedMsg:
		if m.path != "" && msg.Path == record.Beside(m.path).Path {
			return m.read()
		}
	case readMsg:
		m = m.took(msg)
	case heldMsg:
		m = m.waits(msg)
	case wroteMsg:
		return m.wrote(msg)
	case sheetMsg:
		m = m.sheetDone(msg)
	case tea.KeyMsg:
		return m.key(msg)
	case tea.MouseMsg:
		m = m.mouse(msg)
	}
	return m, nil
}

// waits notes why what is being written has to wait.
func (m Model) waits(msg heldMsg) Model {
	if len(m.writing) > 0 {
		m.held = string(msg)
	}
	return m
}

// ready handles the connection of another or a changed prop.
func (m Model) ready(msg screen.ReadyMsg) (Model, tea.Cmd) {
	same := m.path == msg.Path && m.prop != nil && m.prop.Name == msg.Prop.Name
	m.prop, m.path, m.simulated = msg.Prop, msg.Path, msg.Demo
	if !same {
		kept := Model{opt: m.opt, style: m.style, keys: m.keys, size: m.size, prop: m.prop, path: m.path, simulated: m.simulated, shown: m.shown, page: listPage{}, drawn: m.drawn, placed: m.placed,
			job: m.job, at: -1, draft: m.draft, kept: m.kept, busy: m.busy, writing: m.writing, held: m.held, pending: m.pending, why: m.why, typing: m.typing, laid: m.laid, headed: m.headed, fitted: m.fitted}
		m = kept
	}
	return m.read()
}

func (m Model) key(k tea.KeyMsg) (Model, tea.Cmd) {
	if m.typing != nil {
		return m.typed(k)
	}
	if m.prop == nil {
		return m, nil
	}
	m.note, m.bad = "", false
	is := func(b key.Binding) bool { return key.Matches(k, b) }
	switch {
	case is(m.keys.Note):
		return m.askNote(), nil
	case is(m.keys.Sheet):
		return m.sheet()
	case is(m.keys.Again):
		return m.read()
	case is(m.keys.Elsewhere):
		return m.askElsewhere(), nil
	case is(m.keys.Compare):
		return m.compare(), nil
	case is(m.keys.Mark):
		return m.mark(), nil
	case is(m.keys.Due):
		m.page, m.scroll = duePage{}, 0
	case is(m.keys.Back):
		m.page, m.scroll = listPage{}, 0
	default:
		return m.page.key(m, is), nil
	}
	return m, nil
}

// key walks the list, newest on top; an empty one is a text.
func (listPage) key(m Model, is func(key.Binding) bool) Model {
	if !m.listing() {
		return m.scrolling(is)
	}
	last := len(m.history.Entries) - 1
	switch {
	case is(m.keys.Up):
		m.at++
	case is(m.keys.Down):
		m.at--
	case is(m.keys.PgUp):
		m.at += m.rows()
	case is(m.keys.PgDown):
		m.at -= m.rows()
	case is(m.keys.First):
		m.at = last
	case is(m.keys.Last):
		m.at = 0
	case is(m.keys.Open):
		if _, ok := m.entry(); ok {
			m.page, m.scroll = entryPage{}, 0
		}
	}
	m.at = min(last, max(0, m.at))
	return m
}

// key turns to the entry before or after, or scrolls.
func (entryPage) key(m Model, is func(key.Binding) bool) Model {
	switch {
	case is(m.keys.Older) && m.at > 0:
		m.at, m.scroll = m.at-1, 0
	case is(m.keys.Newer) && m.at < len(m.history.Entries)-1:
		m.at, m.scroll = m.at+1, 0
	}
	return m.scrolling(is)
}

func (comparePage) key(m Model, is func(key.Binding) bool) Model { return m.scrolling(is) }

func (duePage) key(m Model, is func(key.Binding) bool) Model { return m.scrolling(is) }

// scrolling moves in a text that is longer than its room.
func (m Model) scrolling(is func(key.Binding) bool) Model {
	left, _ := m.columns()
	body := m.body(left)
	_, hidden := style.Cut(body[m.top():], m.rows())
	step := max(1, len(body)-m.top()-hidden)
	switch {
	case is(m.keys.Up):
		m.scroll--
	case is(m.keys.Down):
		m.scroll++
	case is(m.keys.PgUp):
		m.scroll -= step
	case is(m.keys.PgDown):
		m.scroll += step
	case is(m.keys.First):
		m.scroll = 0
	case is(m.keys.Last):
		m.scroll = m.scrollMost()
	}
	m.scroll = max(0, min(m.scroll, m.scrollMost()))
	return m
}

// mouse chooses a line of the list; a second click opens it. The wheel scrolls.
func (m Model) mouse(e tea.MouseMsg) Model {
	if m.typing != nil || e.Action != tea.MouseActionPress {
		return m
	}
	by := 0
	switch e.Button {
	case tea.MouseButtonWheelUp:
		by = -1
	case tea.MouseButtonWheelDown:
		by = 1
	case tea.MouseButtonLeft:
		return m.clicked(e.Y)
	}
	if m.listing() {
		m.at = min(len(m.history.Entries)-1, max(0, m.at-by))
		return m
	}
	m.scroll = max(0, min(m.scroll+by, m.scrollMost()))
	return m
}

func (m Model) clicked(y int) Model {
	left, _ := m.columns()
	row := y - len(m.head(m.size.Width-2*edge)) - len(m.above(left))
	if !m.isList() || row < 0 || row >= m.rows() {
		return m
	}
	i := len(m.history.Entries) - 1 - m.top() - row
	switch {
	case i < 0:
	case i == m.at:
		m.page, m.scroll = entryPage{}, 0
	default:
		m.at = i
	}
	return m
}
