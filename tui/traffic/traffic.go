// Package traffic is the screen of the sources that light the prop: its pixels as the winning
// source lights them and as we send them, sentences on problems, all sources, and the slots of
// one universe by pixels.
//
// Universes and slots count from 1 on the screen, slots from 0 in code.
package traffic

import (
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// A part is one view of the screen.
type part uint8

const (
	thing     part = iota // the prop and its sources
	sentences             // sentences and events
	sources               // all sources, with details of the chosen one
	slots                 // one universe
	parts
)

// String is the name of a part on the key that shows it.
func (p part) String() string {
	return [...]string{"your prop", "sentences", "who lights", "slots"}[p%parts]
}

// drawEvery is the least time between two drawings of the levels that we send. Reports of the
// listener are not more frequent.
const drawEvery = 200 * time.Millisecond

// Model is the traffic screen.
type Model struct {
	style style.Styles
	keys  *keyMap
	hear  func() tea.Msg // listens before a prop is connected

	prop     *prop.Prop
	patch    *prop.Patch
	snap     show.Snapshot
	any      bool // a snapshot of this prop has arrived
	news     traffic.News
	heard    bool // a report of the listener has arrived
	held     bool // the picture is frozen
	listener screen.Listener
	wide     bool // universes of others are listened to, too
	more     []protocol.Universe

	part     part
	universe protocol.Universe // chosen; 0 is the first there is
	row      int               // of the sources; -1 chooses none
	top      int               // first line of the part that scrolls

	light     traffic.Light
	draw      *drawings
	has       [patterns.NumChannels]bool // channels of the prop's pixels
	nameCells int                        // room for the names of lights
	rows      []row
	universes []protocol.Universe
	version   int // changed with everything that View reads
	page      *page
}

// A page is the page that View drew last.
type page struct {
	version, width, height int
	text                   string
	more                   int    // lines below what is shown
	step                   int    // lines that a page key moves
	order                  string // of a list that is not in the order of the pixels
}

// New makes the screen, with nothing heard yet. hear is run as a command when
// the page is entered before a prop is connected; nil can't.
func New(st style.Styles, hear func() tea.Msg) Model {
	return Model{style: st, hear: hear, keys: newKeys(), row: -1, draw: &drawings{}, page: &page{version: -1}}
}

// Name is the screen's name in the head line.
func (m Model) Name() string { return "Traffic" }

// Typing is always false: this screen has no text field.
func (m Model) Typing() bool { return false }

// takeReady resets the screen for another prop.
func (m Model) takeReady(msg screen.ReadyMsg) Model {
	m.prop = msg.Prop
	m.patch, _ = prop.PatchFor(msg.Prop) // the show has refused a bad one
	m.snap, m.any, m.news, m.heard, m.held = show.Snapshot{}, false, traffic.News{}, false, false
	m.universe, m.row, m.top = 0, -1, 0
	m.draw, m.has, m.nameCells = &drawings{}, [patterns.NumChannels]bool{}, 0
	for _, ch := range msg.Prop.Chip.Order.Channels() {
		m.has[ch] = true
	}
	m.listener, m.wide, m.more = msg.Listener, false, nil
	return m.digest()
}

// takeSnap stores a snapshot, at the rate of drawing or when the state of a host changes.
func (m Model) takeSnap(s show.Snapshot) Model {
	if m.held || m.any && s.At.Sub(m.snap.At) < drawEvery && sameStates(m.snap, s) {
		return m
	}
	m.snap, m.any = s, true
	return m.digest()
}

func sameStates(a, b show.Snapshot) bool {
	if len(a.Links) != len(b.Links) {
		return false
	}
	for i := range a.Links {
		if a.Links[i].State != b.Links[i].State {
			return false
		}
	}
	return true
}

func (m Model) takeNews(n traffic.News) Model {
	m = m.follow(n.Report)
	if m.held {
		return m
	}
	m.news, m.heard = n, true
	return m.digest()
}

// follow listens to the announced universes of others, if that was asked for, and to those
// whose data still arrives after a list no longer has them.
func (m Model) follow(r *protocol.Report) Model {
	var more []protocol.Universe
	if m.wide && r != nil {
		for i := range r.Sources {
			more = append(append(more, r.Sources[i].Listed...), arriving(&r.Sources[i])...)
		}
	}
	slices.Sort(more)
	more = slices.Compact(more)
	if m.listener != nil && !slices.Equal(more, m.more) {
		m.listener.Want(more...)
		m.more = more
	}
	return m
}

// arriving are the universes of a source whose data arrives by multicast.
func arriving(s *protocol.SourceReport) (us []protocol.Universe) {
	for i := range s.Streams {
		if st := &s.Streams[i]; st.Multicast && st.State == protocol.Live {
			us = append(us, st.Universe)
		}
	}
	return us
}

// widen turns listening to the universes of others on or off.
func (m Model) widen() Model {
	if m.listener == nil {
		return m
	}
	m.wide = !m.wide
	return m.follow(m.news.Report)
}

// digest computes the data of the page.
func (m Model) digest() Model {
	m.version++
	chosen := m.chosen()
	m.light = m.lightUp()
	m.nameCells = m.longestLight()
	m.rows = m.makeRows()
	m.row = slices.IndexFunc(m.rows, func(r row) bool { return chosen != nil && r.key == chosen.key })
	m.universes = m.listUniverses()
	return m
}

// chosen is the chosen row of the list; nil for none.
func (m Model) chosen() *row {
	if m.row < 0 || m.row >= len(m.rows) {
		return nil
	}
	return &m.rows[m.row]
}

// listUniverses are the universes that can be shown: ours, and all that a source drives or
// drove recently.
func (m Model) listUniverses() []protocol.Universe {
	us := slices.Clone(m.ours())
	if m.news.Report != nil {
		for i := range m.news.Report.Sources {
			for j := range m.news.Report.Sources[i].Streams {
				us = append(us, m.news.Report.Sources[i].Streams[j].Universe)
			}
		}
	}
	slices.Sort(us)
	return slices.Compact(us)
}

// ours are the universes of the prop that is connected.
func (m Model) ours() []protocol.Universe {
	var us []protocol.Universe
	if m.patch != nil {
		for _, u := range m.patch.Universes()[m.patch.Idle():] {
			us = append(us, protocol.Universe(u))
		}
	}
	return us
}

// at is the universe whose slots are shown; 0 for none. It stays when no source drives it any
// more, until another one is chosen.
func (m Model) at() protocol.Universe {
	if m.universe != 0 {
		return m.universe
	}
	if us := m.ours(); len(us) > 0 {
		return us[0]
	}
	if len(m.universes) > 0 {
		return m.universes[0]
	}
	return 0
}

// step goes to another universe of the list.
func (m Model) step(by int) Model {
	if len(m.universes) == 0 {
		return m
	}
	i, there := slices.BinarySearch(m.universes, m.at())
	if !there && by > 0 {
		i--
	}
	i = max(0, min(len(m.universes)-1, i+by))
	m.universe, m.top = m.universes[i], 0
	return m
}
