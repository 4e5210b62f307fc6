package bench

import (
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// Update passes keys to the screen shown and other messages to all screens.
func (m Model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	next, cmd := m.take(msg)
	next, cmd = next.refit(m.body(), cmd)
	return next.pulsing(cmd)
}

func (m Model) take(msg tea.Msg) (Model, tea.Cmd) {
	switch msg := msg.(type) {
	case LeaveMsg:
		return m.leave()
	case tea.KeyMsg:
		return m.keysOf(msg)
	case tea.MouseMsg:
		return m.mouse(msg)
	case tea.WindowSizeMsg:
		m.width, m.height = msg.Width, msg.Height
		return m.all(tea.WindowSizeMsg{Width: m.width, Height: m.body()})
	case screen.UseMsg:
		return m.useAnother(msg)
	case screen.ReadyMsg:
		msg.Path, msg.StandIn = m.path, m.simulated
		m.connecting, m.trouble, m.status, m.warning = false, "", status{ready: msg}, warning{}
		return m.all(msg)
	case screen.TroubleMsg:
		m.connecting, m.trouble = false, style.Clean(msg.Err.Error())
		return m.all(msg)
	case screen.SnapshotMsg:
		m.status = m.status.after(msg)
		return m.followers(msg)
	case screen.LightMsg:
		return m.followers(msg)
	case screen.PulseMsg:
		return m.pulse(msg)
	case screen.TrafficMsg:
		m.warning = m.warning.after(traffic.News(msg))
		m.status = m.status.heard(traffic.News(msg))
		return m.all(msg)
	case screen.GoMsg:
		if i := m.find(msg.Name); i >= 0 {
			return m.goTo(i, msg)
		}
		return m, nil
	}
	return m.all(msg)
}

// useAnother connects the prop that a screen asks for, one at a time.
func (m Model) useAnother(msg screen.UseMsg) (Model, tea.Cmd) {
	if m.connecting || m.leaving {
		return m, nil
	}
	m.connecting, m.trouble, m.path = true, "", msg.Path
	if m.simulated {
		m.path, m.real = "", msg.Path
	}
	return m, m.use(msg.Prop)
}

// all passes a message to every screen.
func (m Model) all(msg tea.Msg) (Model, tea.Cmd) {
	return m.each(msg, func(screen.Screen) bool { return true })
}

// followers passes a report of the show to the screens that implement screen.Follower.
func (m Model) followers(msg tea.Msg) (Model, tea.Cmd) {
	return m.each(msg, func(s screen.Screen) bool { _, follows := s.(screen.Follower); return follows })
}

// each passes a message to the screens for which wants is true.
func (m Model) each(msg tea.Msg, wants func(screen.Screen) bool) (Model, tea.Cmd) {
	var cmds []tea.Cmd
	m.screens = append([]screen.Screen(nil), m.screens...)
	for i, s := range m.screens {
		if wants(s) {
			var c tea.Cmd
			m.screens[i], c = s.Update(msg)
			cmds = append(cmds, c)
		}
	}
	return m, tea.Batch(cmds...)
}

// one passes a message to the screen shown.
func (m Model) one(msg tea.Msg) (Model, tea.Cmd) {
	var c tea.Cmd
	m.screens = append([]screen.Screen(nil), m.screens...)
	m.screens[m.at], c = m.screens[m.at].Update(msg)
	return m, c
}

// turn shows another screen.
func (m Model) turn(to int) (Model, tea.Cmd) {
	if to == m.at && !m.front {
		return m, nil
	}
	var leave tea.Cmd
	if !m.front {
		m, leave = m.one(screen.LeaveMsg{})
	}
	m.front, m.help, m.at = false, false, to
	m, enter := m.one(screen.EnterMsg{})
	return m, tea.Batch(leave, enter)
}

// goTo shows another screen and passes it the message if that asks for something.
func (m Model) goTo(i int, msg screen.GoMsg) (Model, tea.Cmd) {
	next, turned := m.turn(i)
	if !msg.Count {
		return next, turned
	}
	next, asked := next.one(msg)
	return next, tea.Batch(turned, asked)
}

// keysOf handles letters that arrived in one read, as over a slow line, one by one: Bubble
// Tea makes one message of them. Text fields get them together.
func (m Model) keysOf(k tea.KeyMsg) (Model, tea.Cmd) {
	if k.Type != tea.KeyRunes || len(k.Runes) < 2 || k.Paste || m.typing() {
		return m.key(k)
	}
	var cmds []tea.Cmd
	next := m
	for _, r := range k.Runes {
		var c tea.Cmd
		next, c = next.key(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}, Alt: k.Alt})
		cmds = append(cmds, c)
	}
	return next, tea.Batch(cmds...)
}

// typing reports whether letters belong to a text field.
func (m Model) typing() bool {
	return !m.front && !m.help && !m.tooSmall() && m.screens[m.at].Typing()
}

// prose reports whether ? is text, as letters are.
func (m Model) prose() bool {
	_, ok := m.screens[m.at].(screen.Prose)
	return ok && m.typing()
}

func (m Model) key(k tea.KeyMsg) (Model, tea.Cmd) {
	typing := m.typing()
	far := key.Matches(k, m.keys.Far) && (!typing || k.Type == tea.KeyCtrlF)
	help := key.Matches(k, m.keys.Help) && (!m.prose() || k.Type == tea.KeyF1)
	switch {
	case m.leaving:
		return m, nil
	case key.Matches(k, m.keys.Leave), !typing && key.Matches(k, m.keys.Quit):
		return m.askThenLeave(k)
	case m.sure: // any other key stays
		m.sure = false
		return m.all(screen.AskingMsg(false))
	case m.tooSmall():
		return m, nil
	case help:
		m.help, m.scroll, m.far = !m.help, 0, false // the keys listed are those of the page
		return m, nil
	case m.help:
		return m.helpKey(k), nil
	case m.front:
		return m.frontKey(k)
	case far, m.far && k.Type == tea.KeyEsc:
		m.far = !m.far
		return m, nil
	}
	return m.pageKey(k, typing)
}

// frontKey leaves the front page for the first screen, or for one by its letter.
func (m Model) frontKey(k tea.KeyMsg) (Model, tea.Cmd) {
	to := m.at
	if key.Matches(k, m.keys.Jump) {
		to = m.begins(k.String())
	} else if !key.Matches(k, FrontGo) {
		to = -1
	}
	if to < 0 {
		return m, nil
	}
	if m.opt.See != nil {
		m.opt.See()
	}
	return m.turn(to)
}

// pageKey changes the page; other keys go to the screen.
func (m Model) pageKey(k tea.KeyMsg, typing bool) (Model, tea.Cmd) {
	switch {
	case key.Matches(k, m.keys.Next):
		return m.turn((m.at + 1) % len(m.screens))
	case key.Matches(k, m.keys.Prev):
		return m.turn((m.at + len(m.screens) - 1) % len(m.screens))
	case typing:
	case key.Matches(k, m.keys.Jump) && m.begins(k.String()) >= 0:
		return m.turn(m.begins(k.String()))
	case key.Matches(k, m.keys.Motion):
		return m.setStill(!m.motion.still)
	case key.Matches(k, m.keys.Simulate) && m.canSimulate():
		return m.simulate()
	}
	return m.one(k)
}

// begins is the index of the page whose name begins with a letter, -1 for none.
func (m Model) begins(letter string) int {
	return slices.IndexFunc(m.screens, func(s screen.Screen) bool { return strings.HasPrefix(s.Name(), letter) })
}

// askThenLeave leaves, or asks first when something is not saved.
func (m Model) askThenLeave(k tea.KeyMsg) (Model, tea.Cmd) {
	if m.unsaved() == "" || m.sure {
		m.chosen = true
		return m.leave()
	}
	m.sure, m.asked = true, k.String()
	return m.all(screen.AskingMsg(true))
}

// helpKey scrolls the page of keys; any other key closes it.
func (m Model) helpKey(k tea.KeyMsg) Model {
	switch k.Type {
	case tea.KeyDown, tea.KeyPgDown:
		m.scroll++
	case tea.KeyUp, tea.KeyPgUp:
		m.scroll--
	default:
		m.help = false
	}
	m.scroll = max(0, min(m.scroll, len(m.helpLines())-m.body()))
	return m
}

// mouse shows the page whose name was clicked; other events go to the screen, with rows
// counted from the top of its page.
func (m Model) mouse(e tea.MouseMsg) (Model, tea.Cmd) {
	if m.leaving || m.front || m.help || m.far || m.tooSmall() {
		return m, nil
	}
	if e.Y > 0 {
		e.Y -= 1 + m.margin()
		if e.Y >= 0 && e.Y < m.body() {
			return m.one(e)
		}
		return m, nil
	}
	if e.Action != tea.MouseActionPress || e.Button != tea.MouseButtonLeft {
		return m, nil
	}
	for i, t := range m.names() {
		if e.X >= t.from && e.X < t.to {
			return m.turn(i)
		}
	}
	return m, nil
}
