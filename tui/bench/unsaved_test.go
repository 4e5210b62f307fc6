package bench

import (
	"strings"
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
	assert.Contains(t, m.View(), "porthole.toml has unsaved changes: q loses them.")
	narrow := feed(m, tea.WindowSizeMsg{Width: 50, Height: 20})
	assert.Contains(t, narrow.View(), "Not saved: porthole.toml. q again loses it.")
	for _, l := range []string{narrow.statusLine(), m.statusLine()} {
		assert.LessOrEqual(t, ansi.StringWidth(l), 80)
	}

	*got = nil
	stays := feed(m, letter("x"))
	assert.False(t, stays.leaving)
	assert.NotContains(t, strings.Join(*got, " "), "tea.KeyMsg", "the key that stays does nothing else")
	assert.NotContains(t, stays.View(), "not saved")

	m, cmd = feedCmd(m, letter("q"))
	assert.True(t, m.leaving)
	assert.NotNil(t, cmd)

	m, _, unsaved := withKeeper("porthole.toml")
	*unsaved = ""
	m, _ = feedCmd(m, letter("q"))
	assert.True(t, m.leaving, "nothing to ask")
}

// Ctrl-C asks once, also while letters are typed and where the window is too
// small for a page; the second leaves at once.
func TestControlCAsksOnce(t *testing.T) {
	ctrlC := tea.KeyMsg{Type: tea.KeyCtrlC}
	m, got, unsaved := withKeeper("porthole.toml")
	m = feed(m, tea.KeyMsg{Type: tea.KeyTab}) // the screen that takes letters
	require.True(t, m.typing())
	*got = nil
	m, cmd := feedCmd(m, ctrlC)
	require.Nil(t, cmd)
	assert.False(t, m.leaving)
	wide := feed(m, tea.WindowSizeMsg{Width: 100, Height: 24})
	assert.Contains(t, wide.View(), "porthole.toml has unsaved changes: ctrl+c loses them.")
	small := feed(m, tea.WindowSizeMsg{Width: 40, Height: 8})
	assert.Contains(t, strings.Join(strings.Fields(small.View()), " "), "ctrl+c again loses unsaved: porthole.toml")
	*unsaved = "the bench record"
	assert.Contains(t, feed(m, tea.WindowSizeMsg{Width: 50, Height: 20}).View(), "ctrl+c again loses unsaved: the bench record ")
	*unsaved = "porthole.toml"

	*got = nil
	stays := feed(m, letter("q"))
	assert.False(t, stays.leaving, "q is a letter here")
	assert.NotContains(t, strings.Join(*got, " "), "tea.KeyMsg", "the key that stays does nothing else")
	assert.NotContains(t, stays.View(), "Not saved")

	m, cmd = feedCmd(m, ctrlC)
	assert.True(t, m.leaving)
	assert.NotNil(t, cmd)

	m, _, _ = withKeeper("porthole.toml")
	m, cmd = feedCmd(m, letter("q"), ctrlC)
	assert.True(t, m.leaving, "asked by q, answered by ctrl-c")
	assert.NotNil(t, cmd)

	m, _, unsaved = withKeeper("porthole.toml")
	*unsaved = ""
	m, cmd = feedCmd(m, ctrlC)
	assert.True(t, m.leaving, "nothing to ask")
	assert.NotNil(t, cmd)
}

// A signal does not ask.
func TestLeaveMessageNeverAsks(t *testing.T) {
	m, _, _ := withKeeper("porthole.toml")
	m, cmd := feedCmd(m, LeaveMsg{})
	assert.True(t, m.leaving)
	assert.NotNil(t, cmd)
}

// drafter is a screen with a draft and a reminder.
type drafter struct{ keeper }

func (d drafter) Draft() (screen.Draft, bool) {
	return screen.Draft{Text: *d.unsaved}, *d.unsaved != ""
}
func (d drafter) Update(tea.Msg) (screen.Screen, tea.Cmd) { return d, nil }
func (d drafter) Remind() string                          { return *d.unsaved }

func TestDraftsUntilTheBuilderLeaves(t *testing.T) {
	m, got, _ := setup(Options{})
	text := ""
	m.screens = append(m.screens, drafter{keeper{stub{"Keep", false, got}, &text}})
	assert.Empty(t, m.Drafts())
	assert.Contains(t, m.View(), "Light a strip, find the bad joint")
	text = "Changes wait."
	assert.Equal(t, []screen.Draft{{Text: "Changes wait."}}, m.Drafts())
	assert.Contains(t, m.View(), "Changes wait.", "the front page reminds")
	text = "Changes of 25 November 17:29 to porthole.toml were not saved and wait: on the Prop page t takes them up."
	small := strings.Join(strings.Fields(feed(m, tea.WindowSizeMsg{Width: MinWidth, Height: MinHeight}).View()), " ")
	assert.Contains(t, small, text, "the reminder is whole")
	assert.Contains(t, small, "stand the iron, take rings off.", "and no caution is cut off for it")
	ended := feed(m, LeaveMsg{})
	require.True(t, ended.leaving)
	assert.NotEmpty(t, ended.Drafts(), "a signal is no choice")
	m = feed(m, letter("q"), letter("q"))
	require.True(t, m.leaving)
	assert.Empty(t, m.Drafts(), "they were left by choice")
}
