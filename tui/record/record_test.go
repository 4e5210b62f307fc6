package record

import (
	"io/fs"
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

func TestHistoryNewestFirst(t *testing.T) {
	d, _ := newDesk(t, sample, 80, 21, termenv.Ascii)
	page := d.page()
	a, b, c := strings.Index(page, "3   23 November 2026"), strings.Index(page, "2   20 November 2025"), strings.Index(page, "1   20 November 2025")
	assert.True(t, 0 < a && a < b && b < c, page)
	assert.Contains(t, page, "\n▸ 3   23 November 2026  fail, 1 left to mend")
	assert.Contains(t, d.flat(), "Due: left to mend since 23 November 2026: pixel 97 has lost its blue")
	d.press("down")
	assert.Contains(t, d.page(), "▸ 2 ")
	d.press("end", "down", "down")
	assert.Contains(t, d.page(), "▸ 1 ")
	d.press("up", "up", "up", "up")
	assert.Contains(t, d.page(), "▸ 3 ")
}

func TestOneEntryWhole(t *testing.T) {
	d, _ := newDesk(t, sample, 74, 60, termenv.Ascii)
	d.press("enter")
	page := d.page()
	for _, want := range []string{
		"Entry 3 of 3  23 November 2026 20:00", "pixel 97 has lost its blue (likely, 93 %)", "try 1: replace the pixel",
		"bring: 1 pixel WS2812B, solder", "because: blue stayed dark at pixel 97", "dark from pixel 37 on (mended)",
		"outer ring: 60 pixels, as planned, travel as planned", "Colour order: GRB", "middle ring to outer ring: 0.38 ± 0.04 Ω",
		"Volts: at pixel 144, level 100 %: 4.32 V", "Notes: a damp evening", "1. Which pixels light? first and last of every ring", "Written by ringout 1.0.0",
	} {
		assert.Contains(t, page, want)
	}
	d.press("right")
	assert.Contains(t, d.page(), "Lötstelle 2 nachgelötet, 灯")
	d.press("right", "right")
	assert.Contains(t, d.page(), "Entry 1 of 3")
	d.press("left", "esc")
	assert.Contains(t, d.page(), "▸ 2 ", "the list stands where the pages were turned to")
}

func TestTroublesAreTold(t *testing.T) {
	d, path := newDesk(t, sample, 74, 21, termenv.Ascii)
	f := record.Beside(path)
	text, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	edited := strings.Replace(string(text), "a damp evening", "a dry evening", 1) + "scribble\n{\"schema\":2,\"kind\":\"check-ou"
	require.NoError(t, os.WriteFile(f.Path, []byte(edited), 0o644))
	d.press("r")
	assert.Contains(t, d.flat(), "more due: m")
	d.press("m")
	for _, want := range []string{"WARNING: line 3 of the file: the line was changed after ringout wrote it",
		"WARNING: line 4 of the file: the line can't be read", "WARNING: line 5 of the file: the line is not whole"} {
		assert.Contains(t, d.flat(), want)
	}
	d.press("esc", "n")
	d.write("x")
	d.press("enter")
	after, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(after), edited), "told, never overwritten")
	assert.Contains(t, d.page(), "▸ 4   25 November 2026 19:30  note: x")
}

// What others record shows at once; what belongs to other files reads nothing.
func TestReadsAgainWhenSomethingWasRecorded(t *testing.T) {
	d, path := newDesk(t, sample, 80, 21, termenv.Ascii)
	f := record.Beside(path)
	require.NoError(t, f.Append(record.Entry{Kind: "check-out", At: evening, Prop: "Porthole", Verdict: record.Pass}))
	job := d.m.job
	d.feed(screen.RecordedMsg{Path: "elsewhere"})
	assert.Equal(t, job, d.m.job)
	d.feed(screen.RecordedMsg{Path: f.Path})
	assert.Contains(t, d.page(), "▸ 4   25 November 2026  pass")
	// An older reading that comes late changes nothing.
	d.feed(readMsg{job: 1, err: fs.ErrPermission})
	assert.Contains(t, d.page(), "▸ 4 ")
}

// A record that someone shortened meanwhile does not trip a page that shows it.
func TestRecordShortenedMeanwhile(t *testing.T) {
	d, path := newDesk(t, sample, 80, 21, termenv.Ascii)
	d.press(" ", "end", " ", "c")
	require.NoError(t, os.Remove(record.Beside(path).Path))
	d.feed(screen.EnterMsg{})
	assert.Contains(t, d.flat(), "Nothing is recorded of this prop yet.")
	d.press("enter", "c", " ", "left", "right", "down")
	d.page()
}

func TestAnotherPropStartsAfresh(t *testing.T) {
	d, _ := newDesk(t, sample, 80, 21, termenv.Ascii)
	d.press("down", " ", "enter")
	other := filepath.Join(t.TempDir(), "pennant.toml")
	require.NoError(t, os.WriteFile(other, []byte(prop.DemoFile("pennant")), 0o644))
	d.feed(screen.ReadyMsg{Prop: prop.Pennant(), Path: other})
	assert.Contains(t, d.flat(), "Nothing is recorded of this prop yet.")
	assert.Empty(t, d.m.marks)
}
