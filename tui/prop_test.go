package tui

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/exp/teatest"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"example.org/ringout/internal/prop"
)

// A run gets one pixel more on the prop screen: the light then counts to it,
// the file has it, and q asks until it is saved.
func TestAnEditReachesLightAndFile(t *testing.T) {
	defer goleak.VerifyNone(t, waitsForSignals)
	path := filepath.Join(t.TempDir(), "buoylamp.toml")
	require.NoError(t, os.WriteFile(path, []byte(prop.DemoFile("buoylamp")), 0o644))
	p, doc, err := prop.Load(path)
	require.NoError(t, err)
	h := &hall{}
	tm := start(t, Config{Prop: p, Document: doc, Path: path}, h)
	soon(t, func() bool { return h.count() == 1 }, "connected")
	tm.Send(tea.KeyMsg{Type: tea.KeyEnter})
	tm.Send(tea.KeyMsg{Type: tea.KeyShiftTab}) // from Light to Prop
	tm.Send(tea.KeyMsg{Type: tea.KeyEnd})
	for range 2 {
		tm.Send(tea.KeyMsg{Type: tea.KeyLeft}) // no parts, no feeds: the bulb
	}
	tm.Send(tea.KeyMsg{Type: tea.KeyDown})
	tm.Send(tea.KeyMsg{Type: tea.KeyEnter})
	tm.Send(tea.KeyMsg{Type: tea.KeyCtrlU})
	tm.Type("2")
	tm.Send(tea.KeyMsg{Type: tea.KeyEnter})
	soon(t, func() bool { return h.count() == 2 }, "connected with the new figures")
	_, now := h.last(t)
	assert.Equal(t, 2, now.Pixels())

	tm.Type("q") // not saved: asks
	tm.Type("z") // stays
	tm.Send(tea.KeyMsg{Type: tea.KeyTab})
	tm.Type("2") // count up
	tm.Send(tea.KeyMsg{Type: tea.KeyEnd})
	w, _ := h.last(t)
	soon(t, func() bool { return w.lit() == 6 }, "two pixels of white, three slots each")

	tm.Send(tea.KeyMsg{Type: tea.KeyShiftTab})
	tm.Type("s")
	soon(t, func() bool { q, _, err := prop.Load(path); return err == nil && q.Pixels() == 2 }, "written")
	for range 2 { // the first may ask, as the screen may not know yet that it is written
		tm.Send(tea.KeyMsg{Type: tea.KeyCtrlC})
	}
	tm.WaitFinished(t, teatest.WithFinalTimeout(5*time.Second))
	assert.Zero(t, w.lit())
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(text), "# no sheet: read the currents off the bulb's own plate", "notes are kept")
}
