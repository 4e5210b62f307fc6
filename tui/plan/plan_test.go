package plan

import (
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/linediff"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

func styles(p termenv.Profile) style.Styles {
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(p)
	return style.On(r, style.AnyGround)
}

func document(t *testing.T, text string) *prop.Document {
	t.Helper()
	_, d, err := prop.Parse([]byte(text), "porthole.toml")
	require.NoError(t, err)
	return d
}

// bench stands around the screen under test: it runs commands and keeps what
// was asked for.
type bench struct {
	t     *testing.T
	m     Model
	used  []*prop.Prop
	works int // plans worked out
}

// open shows a document, connected and worked out.
func open(t *testing.T, text, path string, width, height int, depth termenv.Profile) *bench {
	t.Helper()
	d := document(t, text)
	b := &bench{t: t, m: New(Options{Style: styles(depth), Document: d, Path: path, Rest: time.Nanosecond})}
	b.feed(tea.WindowSizeMsg{Width: width, Height: height}, screen.ReadyMsg{Prop: d.Prop(), Path: path}, screen.EnterMsg{})
	return b
}

func porthole(t *testing.T) *bench {
	return open(t, prop.DemoFile("porthole"), "porthole.toml", 120, 37, termenv.Ascii)
}

// feed gives messages, and runs what they bring about to its end.
func (b *bench) feed(msgs ...tea.Msg) {
	for _, msg := range msgs {
		b.run(b.give(msg))
	}
}

func (b *bench) give(msg tea.Msg) tea.Cmd {
	s, cmd := b.m.Update(msg)
	b.m = s.(Model)
	return cmd
}

func (b *bench) run(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil:
	case tea.BatchMsg:
		for _, c := range msg {
			b.run(c)
		}
	case screen.UseMsg:
		b.used = append(b.used, msg.Prop)
	case workedMsg:
		b.works++
		b.feed(msg)
	default:
		b.feed(msg)
	}
}

func (b *bench) press(keys ...string) {
	for _, k := range keys {
		b.feed(named(k))
	}
}

// write types letters one by one.
func (b *bench) write(s string) {
	for _, r := range s {
		b.feed(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
}

// to goes to a figure with the arrow keys.
func (b *bench) to(table string, i int, key string) {
	b.t.Helper()
	w := prop.Where{Table: table, Index: i, Key: key}
	b.press("home")
	for range b.m.lines {
		if b.m.lines[b.m.at].where == w {
			return
		}
		b.press("down")
	}
	require.Equal(b.t, w, b.m.lines[b.m.at].where)
}

// give a figure another value, as one does: enter, empty, type, enter.
func (b *bench) edit(table string, i int, key, to string) {
	b.t.Helper()
	b.to(table, i, key)
	b.press("enter", "ctrl+u")
	b.write(to)
	b.press("enter")
}

func (b *bench) value(table string, i int, key string) string {
	raw, _ := b.m.doc.Get(prop.Where{Table: table, Index: i, Key: key})
	return typed(raw)
}

func (b *bench) view() string { return b.m.View(b.m.size.Width, b.m.size.Height) }

var types = map[string]tea.KeyType{"enter": tea.KeyEnter, "esc": tea.KeyEsc, "up": tea.KeyUp, "down": tea.KeyDown,
	"left": tea.KeyLeft, "right": tea.KeyRight, "home": tea.KeyHome, "end": tea.KeyEnd, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown,
	"ctrl+u": tea.KeyCtrlU, "backspace": tea.KeyBackspace, "delete": tea.KeyDelete, "shift+up": tea.KeyShiftUp, "shift+down": tea.KeyShiftDown}

func named(k string) tea.KeyMsg {
	if t, ok := types[k]; ok {
		return tea.KeyMsg{Type: t}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
}

// changed are the lines that differ between two texts, without the signs.
func changed(was, is string) (out, in []string) {
	for _, l := range linediff.Compare(was, is) {
		switch l.Op {
		case '-':
			out = append(out, l.Text)
		case '+':
			in = append(in, l.Text)
		}
	}
	return out, in
}

func TestEveryKeyOfTheFileHasAFigure(t *testing.T) {
	for _, table := range tables {
		var have []string
		for _, f := range figures[table] {
			have = append(have, f.key)
			assert.NotEmpty(t, f.hint, "%s %s", table, f.key)
			assert.LessOrEqual(t, len(f.label()), 11, "%s %s", table, f.key)
		}
		assert.ElementsMatch(t, prop.Keys[table], have, "table %q", table)
	}
}

func TestFiguresStandAsInTheFile(t *testing.T) {
	b := porthole(t)
	for _, l := range b.m.lines {
		raw, given := b.m.doc.Get(l.where)
		if l.head != "" || !given {
			continue
		}
		assert.Equal(t, strings.Trim(raw, `"`), l.value, l.where.String())
	}
	assert.Contains(t, b.view(), "rail        0.2 ohm/m")
	assert.Contains(t, b.view(), "length      (60 cm)", "what counts when the file does not say")
}

func TestAnEditChangesItsValueAndNothingElse(t *testing.T) {
	b := porthole(t)
	was := b.m.doc.Text()
	b.edit("supply", 0, "amps", "12.5 A")
	out, in := changed(was, b.m.doc.Text())
	assert.Equal(t, []string{`amps       = "10 A" # as on its plate`}, out)
	assert.Equal(t, []string{`amps       = "12.5 A" # as on its plate`}, in)
	assert.InDelta(t, 12.5*0.8, b.m.plan.Power.Supply.Limit, 1e-9)
	assert.Contains(t, b.view(), "* not saved")
	assert.Equal(t, "porthole.toml", b.m.Unsaved())

	b.press("u")
	assert.Equal(t, was, b.m.doc.Text())
	assert.Empty(t, b.m.Unsaved())
	b.press("r")
	assert.Equal(t, "12.5 A", b.value("supply", 0, "amps"))
}

func TestWhatIsRefusedStaysInTheLine(t *testing.T) {
	for _, row := range []struct {
		table, key, typed, want string
	}{
		{"supply", "amps", "12", `"12" has no unit: write "5 A" or "20 mA".`},
		{"supply", "amps", "-3 A", `"-3 A" is negative`},
		{"supply", "volts", "12 V", `12 V would harm the WS2812B, which takes 5 V`},
		{"run", "pixels", "many", `"many" is not a whole number: write only its digits.`},
		{"run", "pixels", "0", `0 is out of range: give a whole number from 1 to 100000.`},
		{"run", "pixels", "", `has neither a pixel count nor a length`},
		{"run", "name", "outer ring", `Run 3, name: "outer ring" is also the name in line`},
		{"feed", "wire", "18", `"18" has no unit: write "18 AWG" or "0.75 mm2".`},
		{"feed", "at", "145", `pixel 145 is not on the prop, which has 144`},
		{"part", "run", "iner ring", `There is no run "iner ring": did you mean "inner ring"?`},
		{"address", "universe", "70000", `70000 is out of range: give a whole number from 1 to 63999.`},
		{"strip", "chip", "WS9999", `"WS9999" is not in the table of chips`},
	} {
		t.Run(row.table+" "+row.key+" "+row.typed, func(t *testing.T) {
			b := porthole(t)
			was := b.m.doc.Text()
			b.edit(row.table, 0, row.key, row.typed)
			assert.True(t, b.m.Typing())
			assert.Equal(t, row.typed, b.m.entry.String(), "nothing typed is lost")
			assert.Equal(t, was, b.m.doc.Text())
			shown := strings.Join(strings.Fields(strings.ReplaceAll(b.leftText(), "│", " ")), " ")
			assert.Contains(t, shown, "! "+words.Capital(strings.TrimSuffix(row.want, ".")))
			assert.NotContains(t, shown, "porthole.toml line", "the line is before one's eyes")
			b.press("esc")
			assert.False(t, b.m.Typing())
			assert.Equal(t, was, b.m.doc.Text())
		})
	}
}

func (b *bench) leftText() string { return strings.Join(b.m.left(), "\n") }

// The bar stays in sight however long the value, and an answer is read to its
// end even where the column is narrow.
func TestLongTextIsNotCutOff(t *testing.T) {
	for _, width := range []int{50, 80, 120} {
		b := open(t, prop.DemoFile("porthole"), "porthole.toml", width, 21, termenv.Ascii)
		b.press("home", "enter")
		b.write("a name that is far longer than the column it stands in ever is on any page")
		assert.Contains(t, b.view(), "▏", "%d wide", width)
		b.press("esc", "n", "ctrl+u")
		b.write("/nosuch/folder/porthole.toml")
		b.press("enter")
		left := strings.Join(strings.Fields(b.leftText()), " ")
		assert.Contains(t, left, "There is no folder /nosuch/folder, so nothing was saved: make it or save in another", "%d wide", width)
		requireFits(t, b, width)
	}
}

func TestEmptyTakesAKeyOut(t *testing.T) {
	b := porthole(t)
	b.edit("feed", 0, "fuse", "")
	_, given := b.m.doc.Get(prop.Where{Table: "feed", Index: 0, Key: "fuse"})
	assert.False(t, given)
	assert.Contains(t, b.view(), "(none)")
	b.edit("feed", 0, "fuse", "4 A")
	assert.InDelta(t, 4, b.m.doc.Prop().Feeds[0].FuseAmps, 1e-9)
}

func TestKindsOfValues(t *testing.T) {
	b := open(t, prop.DemoFile("pennant"), "pennant.toml", 120, 37, termenv.Ascii)
	b.press("m") // seldom needed keys, too
	b.edit("run", 0, "closed", "yes")
	assert.True(t, b.m.doc.Prop().Runs[0].Closed)
	assert.Equal(t, "0 cm, 15 cm; 63.2 cm, 0 cm; 0 cm, -15 cm; 0 cm, 15 cm", b.value("run", 0, "corners"))
	b.edit("run", 1, "corners", "66 cm, 0 cm; 130 cm, -10 cm")
	assert.InDelta(t, 1.3, b.m.doc.Prop().Runs[1].Shape.Corners[1].X, 1e-9)
	b.edit("feed", 1, "at", "40")
	assert.Equal(t, 39, b.m.doc.Prop().Feeds[1].Pixel)
	b.edit("feed", 1, "at", "end")
	assert.Equal(t, 135, b.m.doc.Prop().Feeds[1].Pixel)
	b.edit("run", 0, "closed", "maybe")
	assert.Contains(t, b.m.bad, "neither yes nor no")
}

func TestChoicesTurn(t *testing.T) {
	b := porthole(t)
	b.to("address", 0, "packing")
	b.press("enter", "down", "enter")
	assert.Equal(t, prop.Straddle, b.m.doc.Prop().Address.Packing)
	b.press("enter", "up", "esc")
	assert.Equal(t, prop.Straddle, b.m.doc.Prop().Address.Packing)
}

func TestAnotherChipBringsItsFigures(t *testing.T) {
	b := porthole(t)
	b.edit("strip", 0, "chip", "WS2815")
	p := b.m.doc.Prop()
	want, _ := prop.ChipByName("WS2815")
	assert.Equal(t, want, p.Chip)
	assert.InDelta(t, 12, p.Supply.Volts, 1e-9)
	assert.Contains(t, b.m.doc.Text(), `full      = "15 mA"        # current of one colour at full`)
	b.press("u")
	assert.Equal(t, prop.DemoFile("porthole"), b.m.doc.Text())
}

func TestLevelAndColourOfThePower(t *testing.T) {
	b := porthole(t)
	full := b.m.plan.Power.Amps
	b.press("-", "-")
	assert.Less(t, b.m.level, 1.0)
	assert.Less(t, b.m.plan.Power.Amps, full)
	b.press("+", "+", "c", "c")
	assert.Equal(t, "red", b.m.colourNow().Name)
	// Red alone: 144 pixels of 1 mA idle and 20 mA, the demo file's figures.
	assert.InDelta(t, 144*0.021, b.m.plan.Power.Amps, 1e-9)
	assert.Equal(t, prop.DemoFile("porthole"), b.m.doc.Text(), "these are no figures of the file")
}

func TestDoubtsOfTheFileAreShown(t *testing.T) {
	b := porthole(t)
	b.to("feed", 0, "at")
	b.press("x", "x")
	assert.Contains(t, strings.Join(b.m.pageLines(70), "\n"), "supply lead")
	b.press("u", "u")
	b.edit("feed", 1, "at", "1")
	require.NotEmpty(t, b.m.doc.Doubts())
	b.press("V")
	assert.Contains(t, b.view(), "Look again")
	assert.Contains(t, b.view(), `feed 2: "outer" enters at the same place as "inner"`)
}
