package traffic

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/show"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/screen"
)

// Follow implements screen.Follower.
func (Model) Follow() {}

// Update handles reports of the listener and of the show, and keys.
func (m Model) Update(msg tea.Msg) (screen.Screen, tea.Cmd) {
	switch msg := msg.(type) {
	case screen.EnterMsg:
		if m.prop == nil && m.hear != nil {
			return m, tea.Cmd(m.hear)
		}
	case screen.ReadyMsg:
		m = m.takeReady(msg)
	case screen.SnapshotMsg:
		m = m.takeSnap(show.Snapshot(msg))
	case screen.TrafficMsg:
		m = m.takeNews(traffic.News(msg))
	case tea.KeyMsg:
		m.version++
		m = m.key(msg)
	case tea.MouseMsg:
		m.version++
		m = m.wheel(msg)
	}
	return m, nil
}

func (m Model) key(k tea.KeyMsg) Model {
	is := func(b key.Binding) bool { return key.Matches(k, b) }
	switch {
	case is(m.keys.Next):
		return m.step(1)
	case is(m.keys.Before):
		return m.step(-1)
	case is(m.keys.First):
		return m.step(-len(m.universes))
	case is(m.keys.Last):
		return m.step(len(m.universes))
	case is(m.keys.Down):
		return m.point(1)
	case is(m.keys.Up):
		return m.point(-1)
	case is(m.keys.Enter):
		return m.enter()
	case is(m.keys.On):
		return m.scroll(1)
	case is(m.keys.Back):
		return m.scroll(-1)
	case is(m.keys.Part):
		m.part, m.top = (m.part+1)%parts, 0
	case is(m.keys.Wide):
		return m.widen()
	case is(m.keys.Hold):
		m.held = !m.held
	}
	return m
}

// point moves the choice in the list of sources; before the first is none.
func (m Model) point(by int) Model {
	m.row = max(-1, min(len(m.rows)-1, m.row+by))
	return m
}

// scroll moves a page in the part that is longer than its room.
func (m Model) scroll(pages int) Model {
	if m.part == sources || m.part == thing && m.prop == nil {
		return m.point(pages * 10)
	}
	if pages < 0 || m.page.more > 0 { // View knows where the end is
		m.top = max(0, m.top+pages*max(1, m.page.step))
	}
	return m
}

// enter shows the slots of a universe of the chosen source, one after the other.
func (m Model) enter() Model {
	r := m.chosen()
	if r == nil || len(r.universes) == 0 {
		return m
	}
	m.universe, m.top, m.part = after(r.universes, m.at()), 0, slots
	return m
}

// after is the universe that follows u in an ascending list, the first past
// its end.
func after(list []protocol.Universe, u protocol.Universe) protocol.Universe {
	for _, v := range list {
		if v > u {
			return v
		}
	}
	return list[0]
}

func (m Model) wheel(e tea.MouseMsg) Model {
	switch {
	case e.Action != tea.MouseActionPress:
	case e.Button == tea.MouseButtonWheelDown:
		return m.scroll(1)
	case e.Button == tea.MouseButtonWheelUp:
		return m.scroll(-1)
	}
	return m
}
