package simulated

import (
	"io"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/style"
)

var evening = time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)

func model(t *testing.T, profile termenv.Profile, faults ...strip.Fault) Model {
	t.Helper()
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(profile)
	return New(Options{Prop: prop.Porthole(), Faults: faults, Where: "127.0.0.1:5568, universe 1, slot 1 on",
		Style: style.On(r, style.AnyGround), Now: func() time.Time { return evening.Add(2 * time.Second) }})
}

func send(t *testing.T, m Model, msgs ...tea.Msg) Model {
	t.Helper()
	for _, msg := range msgs {
		next, _ := m.Update(msg)
		m = next.(Model)
	}
	return m
}

func lit(t *testing.T) LookMsg {
	t.Helper()
	s, err := strip.New(prop.Porthole())
	require.NoError(t, err)
	return LookMsg{Look: strip.Look{Light: s.Shine(patterns.Frame{{R: 255}, {G: 40}}), Driven: true},
		History: node.History{Universes: []protocol.Universe{1}, Packets: map[protocol.Universe]uint64{1: 12}, Last: evening, OutOfTurn: 3}}
}

func TestViewFillsEverySize(t *testing.T) {
	for _, size := range [][2]int{{120, 40}, {80, 24}, {50, 20}, {30, 8}, {20, 5}, {3, 1}} {
		m := send(t, model(t, termenv.TrueColor), lit(t), tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		lines := strings.Split(m.View(), "\n")
		require.Len(t, lines, size[1], "%v", size)
		for _, l := range lines {
			assert.Equal(t, size[0], ansi.StringWidth(l), "%v: %q", size, l)
		}
	}
}

func TestSaysWhatWasHeard(t *testing.T) {
	m := send(t, model(t, termenv.Ascii), tea.WindowSizeMsg{Width: 100, Height: 30})
	assert.Contains(t, m.View(), "Nothing heard yet.")
	m = send(t, m, lit(t))
	assert.Contains(t, m.View(), "12 packets, the last 2.0 s ago; 2 pixels lit. Not used: 3 out of turn.")
	assert.Contains(t, m.View(), "R", "without colour a letter stands for red")
	over := lit(t)
	over.Look.Driven, over.History.Terminated = false, map[protocol.Universe]uint64{1: 3}
	assert.Contains(t, strings.Join(strings.Fields(send(t, m, over).View()), " "), "The stream was ended by its source.")
}

func TestFaultIsToldOnlyWhenAskedFor(t *testing.T) {
	f := strip.Fault{Kind: strip.OpenJoint, Pixel: 59}
	m := send(t, model(t, termenv.Ascii, f), tea.WindowSizeMsg{Width: 120, Height: 30})
	assert.NotContains(t, m.View(), "No data reaches")
	m = send(t, m, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("h")})
	assert.Contains(t, m.View(), "No data reaches pixel 24 of run")
	good := send(t, model(t, termenv.Ascii), tea.WindowSizeMsg{Width: 120, Height: 30}, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("h")})
	assert.Contains(t, good.View(), "Nothing is wrong with it.")
}

func TestKeys(t *testing.T) {
	m := send(t, model(t, termenv.Ascii), lit(t), tea.WindowSizeMsg{Width: 100, Height: 30})
	before := m.View()
	m = send(t, m, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("v")})
	assert.NotEqual(t, before, m.View())
	m = send(t, m, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("v")})
	assert.Equal(t, before, m.View())
	for _, k := range []tea.KeyMsg{{Type: tea.KeyRunes, Runes: []rune("q")}, {Type: tea.KeyCtrlC}} {
		_, cmd := m.Update(k)
		require.NotNil(t, cmd)
		assert.Equal(t, tea.QuitMsg{}, cmd())
	}
}

// Where data enters and its way are named above the drawing, in every size and view.
func TestSignsOfTheDrawingAreNamed(t *testing.T) {
	for _, size := range [][2]int{{120, 40}, {80, 24}, {50, 20}} {
		m := send(t, model(t, termenv.Ascii), lit(t), tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		for range 2 {
			view := m.View()
			assert.Regexp(t, `[▶▼◀▲] (data )?in, [›→↘↓↙←↖↑↗]+ (its way|on)\b`, view)
			assert.Contains(t, view, "• dark")
			m = send(t, m, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("v")})
		}
	}
}
