package record

import (
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
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
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

var evening = time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)

func styles(p termenv.Profile) style.Styles {
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(p)
	return style.New(r)
}

// A desk is a record screen whose commands run at once.
type desk struct {
	t *testing.T
	m Model
}

// newDesk is a screen in a folder with the Porthole's file and, when sample is
// set, its record.
func newDesk(t *testing.T, sample string, width, height int, depth termenv.Profile) (*desk, string) {
	t.Helper()
	dir := t.TempDir()
	path := filepath.Join(dir, "porthole.toml")
	require.NoError(t, os.WriteFile(path, []byte(prop.DemoFile("porthole")), 0o644))
	if sample != "" {
		text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "records", sample))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(record.Beside(path).Path, text, 0o644))
	}
	return open(t, path, width, height, depth), path
}

func (d *desk) feed(msgs ...tea.Msg) {
	d.t.Helper()
	for _, msg := range msgs {
		s, cmd := d.m.Update(msg)
		d.m = s.(Model)
		d.run(cmd)
	}
}

func (d *desk) run(cmd tea.Cmd) {
	d.t.Helper()
	if cmd == nil {
		return
	}
	msg := cmd()
	if batch, ok := msg.(tea.BatchMsg); ok {
		for _, c := range batch {
			d.run(c)
		}
		return
	}
	d.feed(msg)
}

func (d *desk) press(keys ...string) {
	d.t.Helper()
	for _, k := range keys {
		d.feed(named(k))
	}
}

func (d *desk) write(text string) {
	for _, r := range text {
		d.feed(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
}

func (d *desk) page() string { return ansi.Strip(d.m.View(d.m.size.Width, d.m.size.Height)) }

// flat is the page with its lines joined, for sentences that wrap.
func (d *desk) flat() string { return strings.Join(strings.Fields(d.page()), " ") }

func named(k string) tea.KeyMsg {
	special := map[string]tea.KeyType{"up": tea.KeyUp, "down": tea.KeyDown, "left": tea.KeyLeft, "right": tea.KeyRight,
		"enter": tea.KeyEnter, "esc": tea.KeyEsc, "home": tea.KeyHome, "end": tea.KeyEnd, "pgup": tea.KeyPgUp,
		"pgdown": tea.KeyPgDown, "ctrl+u": tea.KeyCtrlU, "backspace": tea.KeyBackspace, "delete": tea.KeyDelete}
	if t, ok := special[k]; ok {
		return tea.KeyMsg{Type: t}
	}
	if k == " " {
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
}

const sample = "version2.bench.jsonl"

func TestHistoryNewestFirst(t *testing.T) {
	d, _ := newDesk(t, sample, 80, 21, termenv.Ascii)
	page := d.page()
	a, b, c := strings.Index(page, "3  2026-11-23 20:00"), strings.Index(page, "2  2025-11-20 21:10"), strings.Index(page, "1  2025-11-20 20:00")
	assert.True(t, 0 < a && a < b && b < c, page)
	assert.Contains(t, page, "▸   3  2026-11-23 20:00  check-out: fail, 2 answers, 1 open")
	assert.Contains(t, d.flat(), "Due: open since 23 November 2026: pixel 97 has lost its blue")
	d.press("down")
	assert.Contains(t, d.page(), "▸   2")
	d.press("end", "down", "down")
	assert.Contains(t, d.page(), "▸   1")
	d.press("up", "up", "up", "up")
	assert.Contains(t, d.page(), "▸   3")
}

func TestOneEntryWhole(t *testing.T) {
	d, _ := newDesk(t, sample, 80, 60, termenv.Ascii)
	d.press("enter")
	page := d.page()
	for _, want := range []string{
		"Entry 3 of 3  23 November 2026 20:00", "pixel 97 has lost its blue (93 % sure)", "try 1: replace the pixel",
		"bring: 1 pixel WS2812B, solder", "because: blue stayed dark at pixel 97", "dark from pixel 37 on (mended)",
		"outer ring: 60 pixels, as planned, travel as planned", "GRB", "middle ring to outer ring: 0.38 ± 0.04 Ω",
		"at pixel 144, level 100 %: 4.32 V", "a damp evening", "1. Which pixels light? first and last of every ring", "Written by ringout 1.0.0",
	} {
		assert.Contains(t, page, want)
	}
	d.press("right")
	assert.Contains(t, d.page(), "Lötstelle 2 nachgelötet, 灯")
	d.press("right", "right")
	assert.Contains(t, d.page(), "Entry 1 of 3")
	d.press("left", "esc")
	assert.Contains(t, d.page(), "▸   2", "the list stands where the pages were turned to")
}

func TestCompareAnyTwo(t *testing.T) {
	d, path := newDesk(t, sample, 80, 60, termenv.Ascii)
	require.NoError(t, record.Beside(path).Append(record.Entry{Kind: "check-out", At: evening, Prop: "Porthole", Verdict: record.Pass}))
	d.press("r", "c")
	assert.Contains(t, d.page(), "Entries 3 and 4", "without marks the last two")
	d.press("esc", "down", " ", "end", " ")
	assert.Contains(t, d.page(), "Two are marked: c compares them.")
	d.press("c")
	page := d.page()
	assert.Contains(t, page, "Entries 1 and 3  2025-11-20 and 2026-11-23")
	assert.Contains(t, d.flat(), "Changed since 20 November 2025 WORSE: verdict: pass to fail")
	assert.Regexp(t, `joint middle ring to outer ring +0.05 ± 0.02 Ω +0.38 ± 0.04 Ω`, page)
	d.press("esc", "home", " ", "c")
	assert.Contains(t, d.page(), "Entries 1 and 4", "a third mark takes the place of the oldest: entry 1 stays")
	d.press("esc", "up", " ", "down", "down", " ")
	assert.Contains(t, d.page(), "A note has nothing to compare")
}

func TestCompareNeedsTwo(t *testing.T) {
	d, _ := newDesk(t, "", 80, 21, termenv.Ascii)
	assert.Contains(t, d.flat(), "Nothing is recorded of this prop yet.")
	assert.Contains(t, d.flat(), "Due: never checked out")
	d.press("c")
	assert.Contains(t, d.page(), "Two check-outs are needed to compare.")
}

func TestTroublesAreTold(t *testing.T) {
	d, path := newDesk(t, sample, 80, 21, termenv.Ascii)
	f := record.Beside(path)
	text, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	edited := strings.Replace(string(text), "a damp evening", "a dry evening", 1) + "scribble\n{\"schema\":2,\"kind\":\"check-ou"
	require.NoError(t, os.WriteFile(f.Path, []byte(edited), 0o644))
	d.press("r")
	assert.Contains(t, d.flat(), "more: m shows all")
	d.press("m")
	for _, want := range []string{"MIND: line 3 of the file: the line was changed after ringout wrote it",
		"MIND: line 4 of the file: the line can't be read", "MIND: line 5 of the file: the line is not whole"} {
		assert.Contains(t, d.flat(), want)
	}
	d.press("esc", "n")
	d.write("x")
	d.press("enter")
	after, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(after), edited), "told, never overwritten")
	assert.Contains(t, d.page(), "▸   4  2026-11-25 19:30  note: x")
}

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
	assert.Contains(t, d.flat(), "The bench record lies beside a prop file, and this prop has none yet. On the Prop page (P), s saves it.")
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
	assert.Contains(t, d.flat(), "pennant.sheet.html")
	d.press("enter")
	assert.Contains(t, d.flat(), "Bench sheet written to")
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
	assert.Contains(t, d.page(), "▸   4  2026-11-25 19:30  check-out: pass")
	// An older reading that comes late changes nothing.
	d.feed(readMsg{job: 1, err: fs.ErrPermission})
	assert.Contains(t, d.page(), "▸   4")
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
