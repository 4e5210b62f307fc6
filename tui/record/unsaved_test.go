package record

import (
	"path/filepath"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
)

// A note that was begun when the program had to end is there again, and its
// file goes once it is recorded.
func TestANoteThatWasBegunIsKept(t *testing.T) {
	d, path := newDesk(t, "", 80, 21, termenv.Ascii)
	_, ok := d.m.Draft()
	require.False(t, ok)
	d.press("n")
	d.write("resealed the outer")
	draft, ok := d.m.Draft()
	require.True(t, ok, "while it is typed")
	beside := record.Beside(path).Path
	assert.Equal(t, screen.Draft{Path: beside, Prop: path, Text: "resealed the outer"}, draft)
	file, err := prop.KeepUnsaved(draft.Path, "", draft.Text)
	require.NoError(t, err)

	d = again(t, path)
	assert.Contains(t, d.flat(), "A note that was begun before is kept: n goes on with it.")
	assert.Empty(t, d.m.Unsaved(), "it is on disk")
	d.press("n")
	assert.Contains(t, d.page(), "Note: resealed the outer▏")
	d.write(" ring")
	draft, ok = d.m.Draft()
	require.True(t, ok)
	assert.Equal(t, file, draft.Taken)
	assert.Equal(t, "the bench record", d.m.Unsaved())
	d.press("enter")
	assert.NoFileExists(t, file)
	h, err := record.Beside(path).Read("Porthole")
	require.NoError(t, err)
	require.Len(t, h.Entries, 1)
	assert.Equal(t, "resealed the outer ring", h.Entries[0].Notes)
	assert.Empty(t, d.m.draft, "and it is not offered again")
	d.press("r")
	assert.Empty(t, d.m.draft)
}

func TestANoteThatWaitsCanBeThrownAway(t *testing.T) {
	_, path := newDesk(t, "", 80, 21, termenv.Ascii)
	file, err := prop.KeepUnsaved(record.Beside(path).Path, "", "no longer \x1b[2Jtrue")
	require.NoError(t, err)
	d := again(t, path)
	assert.Equal(t, "no longer [2Jtrue", d.m.draft, "nothing in it steers the terminal")
	assert.Empty(t, d.m.Unsaved())
	d.press("n", "esc")
	assert.FileExists(t, file)
	d.press("n", "ctrl+u", "esc")
	assert.NoFileExists(t, file)
	assert.Empty(t, d.m.Unsaved())
}

// open is a screen on the Porthole's file.
func open(t *testing.T, path string, width, height int, depth termenv.Profile) *desk {
	t.Helper()
	d := &desk{t, New(Options{Style: styles(depth), Version: "1.0.0", Now: func() time.Time { return evening }, Home: filepath.Dir(path)})}
	d.feed(tea.WindowSizeMsg{Width: width, Height: height}, screen.ReadyMsg{Prop: prop.Porthole(), Path: path}, screen.EnterMsg{})
	return d
}

// again is the same screen at the next start.
func again(t *testing.T, path string) *desk {
	t.Helper()
	return open(t, path, 80, 21, termenv.Ascii)
}
