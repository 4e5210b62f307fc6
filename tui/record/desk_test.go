package record

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/style"
)

var evening = time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)

func styles(p termenv.Profile) style.Styles {
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(p)
	return style.On(r, style.AnyGround)
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

// flat is the text of the page with its lines joined, for sentences that wrap, without the drawing at its
// right.
func (d *desk) flat() string {
	lines := strings.Split(d.page(), "\n")
	if left, right := d.m.columns(); right > 0 {
		for i := d.m.pictureTop(); i < len(lines); i++ {
			lines[i] = ansi.Truncate(lines[i], edge+left, "")
		}
	}
	return strings.Join(strings.Fields(strings.Join(lines, "\n")), " ")
}

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
