package bench

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/charmbracelet/x/exp/golden"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// stub is a screen that remembers what it got.
type stub struct {
	name   string
	typing bool
	got    *[]string
}

func (s stub) Name() string      { return s.name }
func (s stub) Typing() bool      { return s.typing }
func (s stub) Keys() help.KeyMap { return stubKeys{} }
func (s stub) Update(msg tea.Msg) (screen.Screen, tea.Cmd) {
	*s.got = append(*s.got, fmt.Sprintf("%s %T", s.name, msg))
	return s, nil
}
func (s stub) View(w, h int) string { return fmt.Sprintf("page %s %d x %d", s.name, w, h) }

type stubKeys struct{}

func stubKey() key.Binding { return key.NewBinding(key.WithKeys("x"), key.WithHelp("x", "cross")) }

func (stubKeys) ShortHelp() []key.Binding  { return []key.Binding{stubKey()} }
func (stubKeys) FullHelp() [][]key.Binding { return [][]key.Binding{{stubKey()}} }

// stage remembers what it was asked for.
type stage struct {
	used   []*prop.Prop
	closed int
	answer tea.Msg
}

func (s *stage) Use(p *prop.Prop) tea.Msg { s.used = append(s.used, p); return s.answer }
func (s *stage) Close()                   { s.closed++ }

func setup(o Options) (Model, *[]string, *stage) {
	var got []string
	st := &stage{}
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(termenv.Ascii)
	o.Screens = []screen.Screen{stub{"One", false, &got}, stub{"Two", true, &got}, stub{"Three", false, &got}}
	o.Stage, o.Style, o.Version = st, style.On(r, style.AnyGround), "1.2"
	m := New(o)
	m = feed(m, tea.WindowSizeMsg{Width: 80, Height: 24})
	got = nil
	return m, &got, st
}

func feed(m Model, msgs ...tea.Msg) Model {
	m, _ = feedCmd(m, msgs...)
	return m
}

func feedCmd(m Model, msgs ...tea.Msg) (Model, tea.Cmd) {
	var c tea.Cmd
	for _, msg := range msgs {
		var n tea.Model
		n, c = m.Update(msg)
		m = n.(Model)
	}
	return m, c
}

var (
	enter  = tea.KeyMsg{Type: tea.KeyEnter}
	tab    = tea.KeyMsg{Type: tea.KeyTab}
	back   = tea.KeyMsg{Type: tea.KeyShiftTab}
	ctrlC  = tea.KeyMsg{Type: tea.KeyCtrlC}
	letter = func(s string) tea.KeyMsg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(s)} }
)

func TestFrontPageComesFirst(t *testing.T) {
	m, got, _ := setup(Options{Start: "Two"})
	assert.Contains(t, m.View(), "work for licensed people,")
	m = feed(m, letter("x"))
	assert.Empty(t, *got, "keys wait until the cautions are left")
	m = feed(m, enter)
	assert.Equal(t, []string{"Two screen.EnterMsg"}, *got)
	assert.Contains(t, m.View(), "page Two 80 x 19")
}

func TestPagesByName(t *testing.T) {
	m, got, _ := setup(Options{})
	m = feed(m, enter, tab, tab, tab, back)
	assert.Contains(t, m.View(), "● Three")
	assert.Equal(t, []string{"One screen.EnterMsg",
		"One screen.LeaveMsg", "Two screen.EnterMsg",
		"Two screen.LeaveMsg", "Three screen.EnterMsg",
		"Three screen.LeaveMsg", "One screen.EnterMsg",
		"One screen.LeaveMsg", "Three screen.EnterMsg"}, *got)
	m = feed(m, tea.MouseMsg{X: 3, Y: 0, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	assert.Contains(t, m.View(), "● One")
	m = feed(m, screen.GoMsg{Name: "Two"}, screen.GoMsg{Name: "Nowhere"})
	assert.Contains(t, m.View(), "● Two")
	*got = nil
	feed(m, screen.GoMsg{Name: "Three", Count: true})
	assert.Equal(t, []string{"Two screen.LeaveMsg", "Three screen.EnterMsg", "Three screen.GoMsg"}, *got, "it is told what is asked of it")
}

func TestWhoGetsWhat(t *testing.T) {
	m, got, _ := setup(Options{})
	m = feed(m, enter)
	*got = nil
	m = feed(m, letter("x"), tea.MouseMsg{X: 5, Y: 4})
	assert.Equal(t, []string{"One tea.KeyMsg", "One tea.MouseMsg"}, *got)
	*got = nil
	feed(m, screen.TrafficMsg{})
	assert.Equal(t, []string{"One screen.TrafficMsg", "Two screen.TrafficMsg", "Three screen.TrafficMsg"}, *got)
	*got = nil
	m.screens[2] = follower{m.screens[2].(stub)}
	feed(m, screen.SnapshotMsg{}, screen.LightMsg{})
	assert.Equal(t, []string{"Three screen.SnapshotMsg", "Three screen.LightMsg"}, *got)
}

// A follower is a stub that shows what the show does.
type follower struct{ stub }

func (follower) Follow() {}
func (f follower) Update(msg tea.Msg) (screen.Screen, tea.Cmd) {
	f.stub.Update(msg)
	return f, nil
}

func TestMouseRowsCountFromThePage(t *testing.T) {
	m, _, _ := setup(Options{})
	var y int
	m.screens[0] = mouseStub{stub{"One", false, new([]string)}, &y}
	m = feed(m, enter)
	lines := strings.Split(m.View(), "\n")
	top := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "page One") })
	feed(m, tea.MouseMsg{X: 5, Y: top + 3})
	assert.Equal(t, 3, y)
}

type mouseStub struct {
	stub
	y *int
}

func (s mouseStub) Update(msg tea.Msg) (screen.Screen, tea.Cmd) {
	if e, ok := msg.(tea.MouseMsg); ok {
		*s.y = e.Y
	}
	return s, nil
}

func TestTypingKeepsLetters(t *testing.T) {
	m, got, st := setup(Options{Start: "Two"})
	m = feed(m, enter)
	*got = nil
	m, cmd := feedCmd(m, letter("q"))
	assert.Nil(t, cmd)
	assert.Equal(t, []string{"Two tea.KeyMsg"}, *got)
	assert.Contains(t, m.View(), "ctrl+c leave")
	_, cmd = feedCmd(m, ctrlC)
	require.NotNil(t, cmd)
	assert.IsType(t, tea.QuitMsg{}, cmd())
	assert.Equal(t, 1, st.closed)
}

func TestLeavingGoesDarkFirst(t *testing.T) {
	for _, msg := range []tea.Msg{letter("q"), ctrlC, LeaveMsg{}} {
		m, _, st := setup(Options{})
		m = feed(m, enter)
		m, cmd := feedCmd(m, msg)
		assert.Contains(t, m.View(), "Going dark, then leaving.")
		assert.Zero(t, st.closed, "waiting is done by the command")
		_, again := feedCmd(m, msg, letter("x"), tab)
		assert.Nil(t, again)
		assert.IsType(t, tea.QuitMsg{}, cmd())
		assert.Equal(t, 1, st.closed)
	}
}

func TestConnecting(t *testing.T) {
	p := prop.Porthole()
	m, _, st := setup(Options{Prop: p})
	st.answer = screen.ReadyMsg{Prop: p, Demo: true}
	assert.Contains(t, m.View(), "Connecting.")
	m, cmd := feedCmd(m, screen.UseMsg{Prop: prop.Pennant()})
	assert.Nil(t, cmd, "one at a time")
	m = feed(m, m.Init()())
	assert.Equal(t, []*prop.Prop{p}, st.used)
	assert.Contains(t, m.View(), "Porthole, simulated")
	m, cmd = feedCmd(m, screen.UseMsg{Prop: prop.BuoyLamp()})
	require.NotNil(t, cmd)
	m = feed(m, screen.TroubleMsg{Err: errors.New("no\x1b[2Jway")})
	assert.Contains(t, m.View(), "TROUBLE: no[2Jway")
	assert.NotContains(t, m.View(), "\x1b")
}

func TestTooSmall(t *testing.T) {
	m, got, _ := setup(Options{})
	m = feed(m, enter)
	*got = nil
	for _, size := range [][2]int{{49, 20}, {50, 19}, {20, 5}, {1, 1}} {
		m = feed(m, tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		lines := strings.Split(m.View(), "\n")
		assert.Len(t, lines, size[1])
		for _, l := range lines {
			assert.Equal(t, size[0], ansi.StringWidth(l))
		}
		*got = nil
		m = feed(m, letter("x"))
		assert.Empty(t, *got, "no key works unseen")
	}
	m = feed(m, tea.WindowSizeMsg{Width: 49, Height: 20})
	assert.Contains(t, strings.Join(strings.Fields(m.View()), " "),
		"This window is 49 x 20, and ringout needs 50 x 20: make it larger.")
	m = feed(m, tea.WindowSizeMsg{Width: 50, Height: 20})
	assert.Contains(t, m.View(), "page One 50 x 16", "nothing is lost")
	_, cmd := feedCmd(feed(m, tea.WindowSizeMsg{Width: 9, Height: 9}), letter("q"))
	assert.NotNil(t, cmd, "leaving works at any size")
}

func TestHelpListsEveryKey(t *testing.T) {
	m, _, _ := setup(Options{})
	m = feed(m, enter, letter("?"))
	for _, want := range []string{"Keys of One", "x cross", "tab next page", "shift+tab page before", "q leave: the prop goes dark", "ctrl+c leave: the prop goes dark"} {
		assert.Contains(t, strings.Join(strings.Fields(m.View()), " "), want)
	}
	m = feed(m, tea.KeyMsg{Type: tea.KeyDown}, tea.KeyMsg{Type: tea.KeyUp}, letter("x"))
	assert.Contains(t, m.View(), "page One")
}

func snapshot(p *prop.Prop, universes int) screen.SnapshotMsg {
	s := screen.SnapshotMsg{Amps: 1.234, MaxAmps: 8, At: time.Unix(0, 0)}
	for i := range universes {
		s.Links = append(s.Links, link.Status{State: link.Sending, Rate: 22,
			Target: link.Target{Universe: protocol.Universe(int(p.Address.Universe) + i), Host: p.Address.Host}})
	}
	return s
}

func TestPages(t *testing.T) {
	p := prop.Pennant()
	for _, row := range []struct {
		name          string
		width, height int
		msgs          []tea.Msg
	}{
		{"80x24 front", 80, 24, nil},
		{"50x20 front", 50, 20, nil},
		{"120x40 front", 120, 40, nil},
		{"80x24 page", 80, 24, []tea.Msg{enter, screen.ReadyMsg{Prop: p}, snapshot(p, 2)}},
		{"50x20 page", 50, 20, []tea.Msg{enter, screen.ReadyMsg{Prop: p, Demo: true}, snapshot(p, 2)}},
		{"120x40 limited", 120, 40, []tea.Msg{enter, screen.ReadyMsg{Prop: p}, limited(snapshot(p, 1))}},
		{"50x20 keys", 50, 20, []tea.Msg{enter, letter("?")}},
	} {
		t.Run(row.name, func(t *testing.T) {
			m, _, _ := setup(Options{})
			m = feed(m, append([]tea.Msg{tea.WindowSizeMsg{Width: row.width, Height: row.height}}, row.msgs...)...)
			v := m.View()
			lines := strings.Split(v, "\n")
			require.Len(t, lines, row.height)
			for _, l := range lines {
				require.Equal(t, row.width, ansi.StringWidth(l), "%q", l)
			}
			golden.RequireEqual(t, []byte(v))
		})
	}
}

func limited(s screen.SnapshotMsg) screen.SnapshotMsg {
	s.Limited = true
	return s
}

func TestManyNamesStandCloser(t *testing.T) {
	m, got, _ := setup(Options{})
	var many []screen.Screen
	for _, n := range []string{"Set-up", "Light", "Prop", "Check", "Traffic", "Record"} {
		many = append(many, stub{n, false, got})
	}
	m.screens = many
	m = feed(m, enter, tab, tea.WindowSizeMsg{Width: 50, Height: 20})
	assert.Equal(t, "─ ○Set-up ●Light ○Prop ○Check ○Traffic ○Record    ", strings.Split(m.View(), "\n")[0])
	m = feed(m, tea.MouseMsg{X: 18, Y: 0, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	assert.Contains(t, m.View(), "●Prop")
	m.screens = append(m.screens, many...)
	assert.Equal(t, "─ ○ ○ ● Prop ○ ○ ○ ○ ○ ○ ○ ○ ○ ───────── no prop  ", strings.Split(m.View(), "\n")[0])
}

func TestKeysBeforeTheSizeIsKnown(t *testing.T) {
	var got []string
	m := New(Options{Screens: []screen.Screen{stub{"One", false, &got}}, Stage: &stage{}})
	assert.Empty(t, m.View())
	feed(m, enter)
	assert.Equal(t, []string{"One screen.EnterMsg"}, got)
}

// The page of keys lists only keys that act where it was opened: on the first page those
// that leave it, and while a text is typed no letters, which are the text's.
func TestKeysListedAct(t *testing.T) {
	words := func(m Model) string {
		return strings.Join(strings.Fields(feed(m, tea.KeyMsg{Type: tea.KeyF1}).View()), " ")
	}
	m, _, _ := setup(Options{Start: "Two"})
	front := words(m)
	for _, want := range []string{"Keys of the first page", "enter go to the bench", "O T the page", "? all keys", "q leave"} {
		assert.Contains(t, front, want)
	}
	for _, dead := range []string{"x cross", "far view", "next page", "simulate"} {
		assert.NotContains(t, front, dead)
	}
	typing := words(feed(m, enter))
	for _, want := range []string{"x cross", "tab next page", "ctrl+f far view", "ctrl+c leave"} {
		assert.Contains(t, typing, want)
	}
	for _, dead := range []string{"O T the page", "f ctrl+f", " q leave:", "simulate", "S fill in"} {
		assert.NotContains(t, typing, dead)
	}
}

// A capital leads from the first page to the page that begins with it, another letter
// nowhere; the cautions then count as read.
func TestAPageByItsLetterFromTheFirstPage(t *testing.T) {
	seen := 0
	m, got, _ := setup(Options{See: func() { seen++ }})
	m.screens[2] = stub{"Check", false, got}
	m.keys = keysOf(m.screens)
	m = feed(m, letter("R"))
	assert.Empty(t, *got)
	assert.Zero(t, seen)
	m = feed(m, letter("C"))
	assert.Equal(t, []string{"Check screen.EnterMsg"}, *got)
	assert.Contains(t, m.View(), "page Check")
	assert.Equal(t, 1, seen)
}

// A text that is typed may have a question mark in it; f1 lists the keys then. A form
// takes none, and ? lists them there.
func TestTheKeyOfKeysWhileTyping(t *testing.T) {
	m, got, _ := setup(Options{Start: "Two", Seen: true})
	m = feed(m, enter)
	*got = nil
	f1 := tea.KeyMsg{Type: tea.KeyF1}
	assert.True(t, feed(m, letter("?")).help)
	assert.True(t, feed(m, f1).help)
	assert.Empty(t, *got)
	m.screens[1] = prose{m.screens[1].(stub)}
	assert.False(t, feed(m, letter("?")).help)
	assert.Equal(t, []string{"Two tea.KeyMsg"}, *got)
	m.screens[1] = prose{stub{"Two", true, got}}
	assert.True(t, feed(m, f1).help)
	assert.Equal(t, []string{"Two tea.KeyMsg"}, *got, "f1 is the bench's")
}

// prose is a stub whose text may ask something.
type prose struct{ stub }

func (prose) Prose() {}
