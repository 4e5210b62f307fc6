package record

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
)

func TestNoteIsRecorded(t *testing.T) {
	d, path := newDesk(t, "", 80, 21, termenv.Ascii)
	d.press("n")
	require.True(t, d.m.Typing())
	assert.Empty(t, d.m.Unsaved())
	d.write("resealed? q n")
	d.press("backspace", "backspace", "backspace", "esc")
	assert.Equal(t, "the bench record", d.m.Unsaved())
	d.press("n")
	assert.Contains(t, d.page(), "Note: resealed? ▏", "what was begun is still there")
	d.write("灯 the outer ring")
	d.press("enter")
	assert.False(t, d.m.Typing())
	assert.Empty(t, d.m.Unsaved())
	assert.Contains(t, d.flat(), "Recorded in ")
	h, err := record.Beside(path).Read("Porthole")
	require.NoError(t, err)
	require.Len(t, h.Entries, 1)
	assert.Equal(t, "resealed? 灯 the outer ring", h.Entries[0].Notes)
	assert.Equal(t, evening, h.Entries[0].At)
	assert.Equal(t, "1.0.0", h.Entries[0].Ringout)
	d.press("n", " ", "enter")
	assert.Contains(t, d.page(), "Type something first")
	assert.True(t, d.m.Typing())
}

// The record can't be written: the note is kept and another place is offered.
func TestNoteThatCannotBeRecordedIsKept(t *testing.T) {
	d, path := newDesk(t, "", 80, 21, termenv.Ascii)
	require.NoError(t, os.Mkdir(record.Beside(path).Path, 0o755)) // in the record's way, for root too
	d.press("r")
	assert.Contains(t, d.flat(), "TROUBLE: the bench record can't be read")
	d.press("n")
	d.write("first")
	d.press("enter")
	d.press("n")
	d.write("second")
	d.press("enter")
	assert.Contains(t, d.flat(), "NOT RECORDED: ")
	assert.Contains(t, d.flat(), "Press w to record the note elsewhere")
	assert.Equal(t, "the bench record", d.m.Unsaved())

	other := filepath.Join(t.TempDir(), "other.bench.jsonl")
	d.press("w")
	assert.Contains(t, d.page(), "porthole.bench.jsonl")
	d.press("ctrl+u")
	d.write(other)
	d.press("enter")
	assert.Empty(t, d.m.Unsaved())
	h, err := record.File{Path: other}.Read("Porthole")
	require.NoError(t, err)
	require.Len(t, h.Entries, 2)
	assert.Equal(t, "first", h.Entries[0].Notes)
	d.press("w")
	assert.Contains(t, d.page(), "Nothing waits to be recorded.")
}

func TestSheetIsWrittenBesideThePropFile(t *testing.T) {
	d, path := newDesk(t, sample, 80, 21, termenv.Ascii)
	d.press("s")
	assert.Contains(t, d.flat(), "Bench sheet written to ")
	html, err := os.ReadFile(record.SheetBeside(path))
	require.NoError(t, err)
	assert.Contains(t, string(html), "Did not pass its check-out on 23 November 2026")

	require.NoError(t, os.Remove(record.SheetBeside(path)))
	require.NoError(t, os.Mkdir(record.SheetBeside(path), 0o755))
	d.press("s")
	assert.Contains(t, d.flat(), "The sheet can't be written there: ")
	require.True(t, d.m.Typing(), "another place is asked for")
	d.press("ctrl+u")
	other := filepath.Join(t.TempDir(), "s.html")
	d.write(other)
	d.press("enter")
	_, err = os.Stat(other)
	assert.NoError(t, err)

	require.NoError(t, os.WriteFile(path, []byte("name = "), 0o644))
	d.press("s")
	assert.Contains(t, d.flat(), "No sheet: ")
	require.NoError(t, os.Remove(path))
	d.press("s")
	assert.Contains(t, d.flat(), "is gone: save the prop on the Prop page first")
}

func TestPropWithoutFile(t *testing.T) {
	d, _ := newDesk(t, "", 78, 21, termenv.Ascii)
	d.feed(screen.ReadyMsg{Prop: prop.Pennant()})
	assert.Contains(t, d.flat(), "The bench record lies beside the prop's file, and this prop has no file yet. On the Prop page (P), s saves it.")
	d.press("n")
	d.write("kept")
	d.press("enter")
	assert.Contains(t, d.flat(), "NOT RECORDED: this prop has no file")
	d.press("w", "ctrl+u")
	other := filepath.Join(t.TempDir(), "x.jsonl")
	d.write(other)
	d.press("enter")
	h, err := record.File{Path: other}.Read("Pennant")
	require.NoError(t, err)
	assert.Len(t, h.Entries, 1)
	d.press("s")
	require.True(t, d.m.Typing())
	assert.Contains(t, strings.ReplaceAll(d.flat(), " ", ""), "pennant.sheet.html", "over two lines")
	d.press("enter")
	assert.Contains(t, d.flat(), "Bench sheet written to")
}
