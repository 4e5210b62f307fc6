package plan

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
)

// inFile is the Porthole in a file of its own.
func inFile(t *testing.T) (*bench, string) {
	path := filepath.Join(t.TempDir(), "porthole.toml")
	require.NoError(t, os.WriteFile(path, []byte(prop.DemoFile("porthole")), 0o640))
	return open(t, prop.DemoFile("porthole"), path, 80, 21, termenv.Ascii), path
}

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(text)
}

// Edited and saved by keys, the file differs in that one value, and opens with
// it.
func TestSavingKeepsEverythingElse(t *testing.T) {
	b, path := inFile(t)
	b.press("s")
	assert.Contains(t, b.m.note, "has these figures already")
	b.edit("run", 2, "pixels", "61")
	b.press("s")
	assert.Equal(t, "Written to porthole.toml.", b.m.note)
	assert.Empty(t, b.m.Unsaved())
	out, in := changed(prop.DemoFile("porthole"), read(t, path))
	assert.Equal(t, []string{"pixels   = 60"}, out)
	assert.Equal(t, []string{"pixels   = 61"}, in)
	p, _, err := prop.Load(path)
	require.NoError(t, err)
	assert.Equal(t, 145, p.Pixels())
	if runtime.GOOS != "windows" {
		st, err := os.Stat(path)
		require.NoError(t, err)
		assert.EqualValues(t, 0o640, st.Mode().Perm())
	}
}

func TestAFileChangedMeanwhileIsNotLost(t *testing.T) {
	b, path := inFile(t)
	b.edit("supply", 0, "amps", "12 A")
	others := prop.DemoFile("porthole") + "# a line of someone else\n"
	require.NoError(t, os.WriteFile(path, []byte(others), 0o644))
	b.press("s")
	assert.Contains(t, b.m.note, "changed by someone else meanwhile")
	assert.Equal(t, others, read(t, path))
	b.press("down", "s")
	assert.Equal(t, others, read(t, path), "s must follow at once")
	b.press("s")
	assert.Equal(t, b.m.doc.Text(), read(t, path))
}

func TestSavingUnderAName(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	b := open(t, prop.DemoFile("buoylamp"), "", 80, 21, termenv.Ascii)
	b.edit("supply", 0, "amps", "3 A")
	assert.Equal(t, "the prop", b.m.Unsaved())
	b.press("s")
	require.True(t, b.m.Typing())
	assert.Equal(t, "buoy-lamp.toml", b.m.entry.String())
	b.press("ctrl+u", "enter")
	assert.Contains(t, b.m.bad, "type a name")
	b.write("lamp")
	b.press("enter")
	assert.False(t, b.m.Typing())
	assert.Equal(t, "Written to lamp.toml.", b.m.note)
	assert.Contains(t, read(t, filepath.Join(dir, "lamp.toml")), `amps  = "3 A"`)
	last := b.used[len(b.used)-1]
	assert.Equal(t, "lamp.toml", b.m.path)
	b.feed(screen.ReadyMsg{Prop: last})
	require.Len(t, b.used, 2, "connected again under its file")
	b.edit("supply", 0, "amps", "4 A")
	b.press("s")
	assert.Contains(t, read(t, filepath.Join(dir, "lamp.toml")), `amps  = "4 A"`, "it has a name now")
}

func TestAnotherFileIsNotWrittenOver(t *testing.T) {
	b, path := inFile(t)
	other := filepath.Join(filepath.Dir(path), "other.toml")
	require.NoError(t, os.WriteFile(other, []byte("# notes\n"), 0o644))
	b.press("n", "ctrl+u")
	b.write(other)
	b.press("enter")
	assert.True(t, b.m.Typing())
	assert.Contains(t, b.m.bad, "there is such a file already")
	assert.Equal(t, "# notes\n", read(t, other))
	b.press("backspace")
	b.write("l")
	b.press("enter")
	assert.Equal(t, "# notes\n", read(t, other), "typing asks again")
	b.press("enter")
	assert.Equal(t, prop.DemoFile("porthole"), read(t, other))
	b.press("n", "esc")
	assert.False(t, b.m.Typing())
}

func TestAFolderThatIsNotThere(t *testing.T) {
	b, path := inFile(t)
	b.press("n", "ctrl+u")
	b.write(filepath.Join(filepath.Dir(path), "no", "such", "x.toml"))
	b.press("enter")
	assert.True(t, b.m.Typing())
	assert.NotEmpty(t, b.m.bad)
	assert.NotContains(t, b.m.bad, "\n")
	assert.Equal(t, prop.DemoFile("porthole"), read(t, path))
}

func TestAReadOnlyFile(t *testing.T) {
	b, path := inFile(t)
	require.NoError(t, os.Chmod(path, 0o440))
	b.edit("supply", 0, "amps", "12 A")
	b.press("s")
	assert.True(t, strings.HasPrefix(b.m.note, "Not saved: "), b.m.note)
	assert.Contains(t, b.m.note, "read-only")
	assert.Equal(t, "porthole.toml", b.m.Unsaved())
	assert.Equal(t, prop.DemoFile("porthole"), read(t, path))
}

func TestNamesOfFiles(t *testing.T) {
	for name, want := range map[string]string{"Porthole": "porthole", "Buoy lamp": "buoy-lamp", "../x": "x", "  ": "prop", "Tür 2": "tür-2"} {
		assert.Equal(t, want, fileNameOf(name))
	}
}

// On a narrow page of results the answer to a key is seen too, as that a file is saved.
func TestTheAnswerIsSeenOnNarrowPages(t *testing.T) {
	b := open(t, prop.DemoFile("porthole"), "p.toml", 50, 17, termenv.Ascii)
	for range pages[1:] {
		b.press("v")
		assert.NotContains(t, b.view(), "has these figures already.")
		b.press("s")
		assert.Contains(t, strings.Join(strings.Fields(b.view()), " "), "p.toml has these figures already.", b.m.pageNow().name())
		requireFits(t, b, b.m.pageNow().name())
		b.press("+") // the next key takes it away
		assert.NotContains(t, b.view(), "figures already.")
	}
}
