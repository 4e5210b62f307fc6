package bench

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/tui/screen"
)

// keeper is a screen with work that is not saved.
type keeper struct {
	stub
	unsaved *string
}

func (k keeper) Unsaved() string                             { return *k.unsaved }
func (k keeper) Update(msg tea.Msg) (screen.Screen, tea.Cmd) { k.stub.Update(msg); return k, nil }

func withKeeper(unsaved string) (Model, *[]string, *string) {
	m, got, _ := setup(Options{})
	m.screens = append(m.screens, keeper{stub{"Keep", false, got}, &unsaved})
	m = feed(m, tea.KeyMsg{Type: tea.KeyEnter})
	*got = nil
	return m, got, &unsaved
}

func TestLeavingAsksForWhatIsNotSaved(t *testing.T) {
	m, got, _ := withKeeper("porthole.toml")
	m, cmd := feedCmd(m, letter("q"))
	require.Nil(t, cmd)
	assert.False(t, m.leaving)
	assert.Contains(t, m.View(), "porthole.toml has changes that are not saved: q leaves them, another key stays.")
	narrow := feed(m, tea.WindowSizeMsg{Width: 50, Height: 20})
	assert.Contains(t, narrow.View(), "Not saved: porthole.toml. q again leaves it.")
	for _, l := range []string{narrow.statusLine(), m.statusLine()} {
		assert.LessOrEqual(t, ansi.StringWidth(l), 80)
	}

	*got = nil
	stays := feed(m, letter("x"))
	assert.False(t, stays.leaving)
	assert.Empty(t, *got, "the key that stays does nothing else")
	assert.NotContains(t, stays.View(), "not saved")

	m, cmd = feedCmd(m, letter("q"))
	assert.True(t, m.leaving)
	assert.NotNil(t, cmd)

	m, _, unsaved := withKeeper("porthole.toml")
	*unsaved = ""
	m, _ = feedCmd(m, letter("q"))
	assert.True(t, m.leaving, "nothing to ask")
}

func TestControlCNeverAsks(t *testing.T) {
	m, _, _ := withKeeper("porthole.toml")
	m, cmd := feedCmd(m, tea.KeyMsg{Type: tea.KeyCtrlC})
	assert.True(t, m.leaving)
	assert.NotNil(t, cmd)
}
