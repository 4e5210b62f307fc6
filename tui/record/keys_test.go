package record

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
)

// No keys, sizes, clicks or news in any order trip the screen, and its page
// always has the size asked for.
func TestRandomKeys(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	keys := []string{"up", "down", "left", "right", "enter", "esc", "home", "end", "pgup", "pgdown", " ", "c", "s", "m", "r", "w", "n", "x", "ctrl+u", "backspace", "delete", "é"}
	d, path := newDesk(t, sample, 80, 21, termenv.Ascii)
	for i := range 3000 {
		switch rng.IntN(14) {
		case 0:
			d.feed(tea.WindowSizeMsg{Width: 1 + rng.IntN(140), Height: 1 + rng.IntN(50)})
		case 1:
			d.feed(tea.MouseMsg{Y: rng.IntN(40), Action: tea.MouseActionPress, Button: []tea.MouseButton{tea.MouseButtonLeft, tea.MouseButtonWheelDown, tea.MouseButtonWheelUp}[rng.IntN(3)]})
		case 2:
			if i%40 == 0 {
				d.feed(wroteMsg{left: d.m.pending, err: errors.New("no space left on device")})
			}
		default:
			if k := keys[rng.IntN(len(keys))]; k != "enter" || d.m.typing == nil || d.m.typing.what == noteLine {
				d.press(k) // what was typed at random names no file
			}
		}
		w, h := d.m.size.Width, d.m.size.Height
		lines := strings.Split(d.m.View(w, h), "\n")
		require.Len(t, lines, h)
		for _, l := range lines {
			require.Equal(t, w, ansi.StringWidth(l), "%q", l)
		}
	}
	hist, err := record.Beside(path).Read("Porthole")
	require.NoError(t, err)
	assert.Empty(t, hist.Troubles)
}

// No two keys of the screen are the same, and none is the bench's.
func TestKeysDiffer(t *testing.T) {
	k := newKeys()
	seen := map[string]string{}
	for _, group := range append(k.FullHelp(), screen.Bench().FullHelp()...) {
		for _, b := range group {
			for _, name := range b.Keys() {
				assert.Empty(t, seen[name], "%s: %s and %s", name, seen[name], b.Help().Desc)
				seen[name] = b.Help().Desc
			}
		}
	}
}

// Nothing that stands in a record steers the terminal.
func TestHostileRecord(t *testing.T) {
	const bad = "x\x1b[2Jy\u009b31m\u202ez\n\a"
	d, path := newDesk(t, "", 120, 60, termenv.Ascii)
	for range 2 {
		require.NoError(t, record.Beside(path).Append(record.Entry{Kind: "check-out", At: evening, Prop: bad, Ringout: bad, Verdict: record.Fail, Order: bad,
			Notes: bad, Findings: []record.Finding{{Kind: bad, Text: bad, Remedy: []string{bad}}}, Runs: []record.Run{{Name: bad, Found: 1, Travel: bad}},
			Joints: []record.Joint{{Name: bad, Ohms: 1}}, Steps: []record.Step{{Question: bad, Answer: bad}}}))
	}
	d.press("r")
	for _, k := range []string{"home", "enter", "c", "m", "n"} {
		d.press(k)
		view := d.m.View(120, 60)
		assert.NotContains(t, view, "\x1b", k)
		assert.NotContains(t, view, "\u009b", k)
		assert.NotContains(t, view, "\u202e", k)
		assert.NotContains(t, view, "\a", k)
	}
}
