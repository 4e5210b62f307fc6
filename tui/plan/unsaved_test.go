package plan

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
)

// withKept opens the Porthole while changes of an earlier evening wait.
func withKept(t *testing.T, change func(*prop.Document)) (b *bench, path, file string) {
	path = filepath.Join(t.TempDir(), "porthole.toml")
	text := prop.DemoFile("porthole")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o640))
	d := document(t, text)
	change(d)
	file, err := prop.KeepUnsaved(path, "", d.Text())
	require.NoError(t, err)
	at := time.Date(2026, 11, 24, 21, 40, 0, 0, time.Local)
	require.NoError(t, os.Chtimes(file, at, at))
	b = &bench{t: t, m: New(Options{Style: styles(termenv.Ascii), Document: document(t, text), Path: path, Rest: time.Nanosecond,
		Kept: prop.FindUnsaved(path, "")})}
	b.feed(tea.WindowSizeMsg{Width: 80, Height: 21}, screen.ReadyMsg{Prop: b.m.doc.Prop(), Path: path}, screen.EnterMsg{})
	return b, path, file
}

func fewer(d *prop.Document) { d.SetPixels(0, 35) }

func TestChangesThatWaitAreTakenUpAndSaved(t *testing.T) {
	b, path, file := withKept(t, fewer)
	assert.Equal(t, "Changes of 24 November 21:40 to porthole.toml were not saved and wait: on the Prop page t takes them up.", b.m.Remind())
	assert.Contains(t, b.view(), "Changes of 24 Nov 21:40 wait")
	assert.Empty(t, b.m.Unsaved(), "they are on disk: nothing would be lost")
	b.press("down", "up")
	assert.Contains(t, b.view(), "Changes of 24 Nov 21:40 wait", "until they are taken up or dropped")

	b.press("t")
	assert.Equal(t, 35, b.m.doc.Prop().Runs[0].Pixels)
	assert.Equal(t, "porthole.toml", b.m.Unsaved())
	assert.Empty(t, b.m.Remind())
	assert.FileExists(t, file, "until they are saved")
	b.press("u")
	assert.Equal(t, 36, b.m.doc.Prop().Runs[0].Pixels)
	b.press("r", "s")
	assert.Equal(t, "Written to porthole.toml.", b.m.note)
	assert.Contains(t, read(t, path), "pixels   = 35")
	assert.NoFileExists(t, file)
}

func TestChangesThatWaitAreDroppedOnlyWhenSure(t *testing.T) {
	b, path, file := withKept(t, fewer)
	b.press("D", "down", "D")
	assert.FileExists(t, file, "another key takes the question back")
	assert.Contains(t, b.m.note, "D again drops the changes of 24 November 21:40")
	b.press("D")
	assert.NoFileExists(t, file)
	assert.Empty(t, b.m.Remind())
	assert.Equal(t, prop.DemoFile("porthole"), read(t, path))
	b.press("t")
	assert.Equal(t, 36, b.m.doc.Prop().Runs[0].Pixels)
}

func TestDraft(t *testing.T) {
	b, path, file := withKept(t, fewer)
	_, ok := b.m.Draft()
	assert.False(t, ok)
	b.press("t")
	d, ok := b.m.Draft()
	require.True(t, ok)
	assert.Equal(t, screen.Draft{Path: path, Text: b.m.doc.Text(), Taken: file}, d)

	b, path = inFile(t)
	b.to("run", 2, "pixels")
	b.press("enter", "ctrl+u")
	b.write("61")
	d, ok = b.m.Draft()
	require.True(t, ok, "what is typed and reads well counts")
	out, in := changed(prop.DemoFile("porthole"), d.Text)
	assert.Equal(t, []string{"pixels   = 60"}, out)
	assert.Equal(t, []string{"pixels   = 61"}, in)
	assert.Equal(t, "porthole.toml", b.m.Unsaved())
	b.write("x")
	_, ok = b.m.Draft()
	assert.False(t, ok, "what does not read well is no figure")
	assert.Equal(t, "porthole.toml", b.m.Unsaved(), "but leaving asks for it")
	assert.Equal(t, prop.DemoFile("porthole"), read(t, path))
}

// Without a prop the page tells of what waits, and t makes it the prop.
func TestChangesOfAPropWithoutAFile(t *testing.T) {
	spare := t.TempDir()
	_, err := prop.KeepUnsaved("", spare, prop.DemoFile("pennant"))
	require.NoError(t, err)
	b := &bench{t: t, m: New(Options{Style: styles(termenv.Ascii), Rest: time.Nanosecond, Kept: prop.FindUnsaved("", spare)})}
	b.feed(tea.WindowSizeMsg{Width: 80, Height: 21}, screen.EnterMsg{})
	assert.Contains(t, b.view(), "to a prop without a file were not saved and wait")
	b.press("t")
	require.NotNil(t, b.m.doc)
	assert.Equal(t, "Pennant", b.m.doc.Prop().Name)
	assert.Equal(t, "the prop", b.m.Unsaved())
}
