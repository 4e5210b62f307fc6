package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/charmbracelet/x/exp/golden"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
)

// sizes of a page: what the bench leaves of 120x40, 80x24 and 50x20.
var sizes = []struct{ width, height int }{{120, 35}, {80, 19}, {50, 16}}

// The pages are fixed in size and colours; go test -update writes them again,
// and someone then has to look at the difference.
func TestPages(t *testing.T) {
	for _, row := range []struct {
		name, prop    string
		width, height int
		depth         termenv.Profile
		keys          []string
	}{
		{"120x40 true colour, power", "porthole", 120, 35, termenv.TrueColor, nil},
		{"120x40 no colour, refused", "porthole", 120, 35, termenv.Ascii, []string{"right", "right", "down", "enter", "9", "enter"}},
		{"120x40 256 colours, counts", "pennant", 120, 35, termenv.ANSI256, []string{"v", "-"}},
		{"80x24 no colour, addresses", "pennant", 80, 19, termenv.Ascii, []string{"v", "v", "end"}},
		{"80x24 no colour, safety", "porthole", 80, 19, termenv.Ascii, []string{"v", "v", "v"}},
		{"80x24 16 colours, warnings", "buoylamp", 80, 19, termenv.ANSI, []string{"V"}},
		{"50x20 no colour, figures", "porthole", 50, 16, termenv.Ascii, []string{"end", "enter"}},
		{"50x20 no colour, power", "porthole", 50, 16, termenv.Ascii, []string{"v", "pgdown"}},
		{"50x20 no colour, pennant", "pennant", 50, 16, termenv.Ascii, []string{"v"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			b := open(t, prop.DemoFile(row.prop), row.prop+".toml", row.width, row.height, row.depth)
			b.press(row.keys...)
			golden.RequireEqual(t, []byte(b.view()))
		})
	}
}

// Nothing is told by colour alone: without its colours a page is the same.
func TestPagesSayTheSameWithoutColour(t *testing.T) {
	for _, size := range sizes {
		for page := range 6 {
			with := open(t, prop.DemoFile("porthole"), "p.toml", size.width, size.height, termenv.TrueColor)
			plain := open(t, prop.DemoFile("porthole"), "p.toml", size.width, size.height, termenv.Ascii)
			for range page {
				with.press("v")
				plain.press("v")
			}
			assert.Equal(t, plain.view(), ansi.Strip(with.view()), "%v page %d", size, page)
			assert.NotEqual(t, plain.view(), with.view())
		}
	}
}

// requireFits checks that a page has exactly its size.
func requireFits(t *testing.T, b *bench, doing any) {
	t.Helper()
	lines := strings.Split(b.view(), "\n")
	require.Len(t, lines, b.m.size.Height, "%v", doing)
	for i, l := range lines {
		require.Equal(t, b.m.size.Width, ansi.StringWidth(l), "%v: line %d: %q", doing, i, l)
	}
}

// Whatever is pressed, the page fits, the document reads well, its comments
// are the file's, and undoing all gives the file back.
func TestRandomKeys(t *testing.T) {
	t.Chdir(t.TempDir()) // some of the keys save, under whatever name was typed
	keys := []string{"up", "down", "down", "down", "left", "right", "home", "end", "enter", "enter", "esc", "a", "x", "[", "]", "u", "r", "m", "v", "V",
		"pgdown", "pgup", "+", "-", "c", "ctrl+u", "backspace", "delete", "1", "2", "0", " ", "e", "n", "d", "m", "i", ".", "é", "漢", "\"", ";", "shift+up"}
	for seed := range uint64(6) {
		rnd := rand.New(rand.NewPCG(seed, 7))
		name := []string{"porthole", "pennant", "buoylamp"}[seed%3]
		b := open(t, prop.DemoFile(name), "", 80, 21, termenv.Ascii)
		var done []string
		for range 250 {
			k := keys[rnd.IntN(len(keys))]
			done = append(done, k)
			switch {
			case rnd.IntN(25) == 0:
				s := sizes[rnd.IntN(len(sizes))]
				b.feed(tea.WindowSizeMsg{Width: s.width, Height: s.height})
			case rnd.IntN(25) == 0 && b.m.asked != nil:
				b.feed(screen.ReadyMsg{Prop: b.m.asked})
			case rnd.IntN(20) == 0:
				b.feed(tea.MouseMsg{X: rnd.IntN(120), Y: rnd.IntN(37), Action: tea.MouseActionPress,
					Button: []tea.MouseButton{tea.MouseButtonLeft, tea.MouseButtonWheelDown, tea.MouseButtonWheelUp}[rnd.IntN(3)]})
			}
			b.press(k)
			requireFits(t, b, done)
			require.NotNil(t, b.m.doc.Prop(), "%v", done)
			require.Empty(t, b.m.lines[b.m.at].head, "%v", done)
		}
		_, _, err := prop.Parse([]byte(b.m.doc.Text()), "t")
		require.NoError(t, err, "%v", done)
		b.press("esc")
		for len(b.m.undo) > 0 {
			b.press("u")
		}
		assert.Equal(t, prop.DemoFile(name), b.m.doc.Text())
	}
}

func TestMouse(t *testing.T) {
	b := porthole(t)
	row := -1
	for i, l := range strings.Split(b.view(), "\n") {
		if strings.Contains(l, "continuous") {
			row = i
		}
	}
	b.feed(tea.MouseMsg{X: 8, Y: row, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	assert.Equal(t, "continuous", b.m.lines[b.m.at].where.Key)
	b.feed(tea.MouseMsg{X: 8, Y: row - 4, Action: tea.MouseActionPress, Button: tea.MouseButtonWheelDown})
	assert.Equal(t, "host", b.m.lines[b.m.at].where.Key, "over a heading")
	require.Positive(t, b.m.scrollMost())
	b.feed(tea.MouseMsg{X: 100, Y: 30, Action: tea.MouseActionPress, Button: tea.MouseButtonWheelDown})
	assert.Positive(t, b.m.scroll)
	for range 50 {
		b.feed(tea.MouseMsg{X: 100, Y: 30, Action: tea.MouseActionPress, Button: tea.MouseButtonWheelDown})
	}
	assert.Equal(t, b.m.scrollMost(), b.m.scroll)
	assert.NotContains(t, b.view(), "shows more")
}

// The letters on the drawing are those of the voltages: as many of each kind
// as pixels, where no two share a cell.
func TestDrawingCountsPixels(t *testing.T) {
	b := open(t, prop.DemoFile("porthole"), "p.toml", 400, 200, termenv.Ascii)
	b.press("v")
	want := map[string]int{}
	r := b.m.plan.Power
	for i := range r.Pixels {
		k := letters[markOf(r, 5, i)]
		if i == 0 || i == 84 {
			k = "F"
		}
		want[k]++
	}
	got := map[string]int{}
	grid := b.m.grid(b.m.voltage(b.m.plan), 300, 150, 1)
	for _, l := range grid[1:] {
		for _, c := range l {
			if !strings.ContainsRune(" ▶▼◀▲→↘↓↙←↖↑↗", c) { // the way of the data
				got[string(c)]++
			}
		}
	}
	assert.Equal(t, want, got)
}

func TestMarks(t *testing.T) {
	b := porthole(t)
	r := b.m.plan.Power
	for i := range r.Pixels {
		v, k := r.Constant.Volts(i), markOf(r, 5, i)
		switch {
		case v < 4.5:
			require.Equal(t, low, k)
		case v < 4.55: // a tenth of the room between 4.5 and 5 V
			require.Equal(t, near, k)
		default:
			require.Equal(t, holds, k)
		}
	}
	b.press("m")
	b.edit("feed", 1, "at", "2")
	b.edit("run", 2, "apart", "yes")
	assert.Positive(t, b.m.plan.Power.Constant.Dead)
	assert.Equal(t, dead, markOf(b.m.plan.Power, 5, 100))
	assert.Contains(t, b.view(), "No supply: 60 pixels from 85 on")
	assert.Contains(t, b.view(), "x 60 no supply")
}

// A large prop: drawing a page that has not changed costs nothing.
func BenchmarkViewUnchanged(b *testing.B) {
	m := New(Options{Style: styles(termenv.TrueColor), Document: big(b)})
	m = settle(m)
	b.ReportAllocs()
	for b.Loop() {
		m.View(120, 37)
	}
}

// One key up or down in a prop of 3,000 pixels.
func BenchmarkKeyAndView(b *testing.B) {
	m := New(Options{Style: styles(termenv.TrueColor), Document: big(b)})
	m = settle(m)
	b.ReportAllocs()
	for b.Loop() {
		s, _ := m.Update(tea.KeyMsg{Type: tea.KeyDown})
		m = s.(Model)
		m.View(120, 37)
	}
}

func big(t testing.TB) *prop.Document {
	text := prop.DemoFile("porthole")
	for i := range 27 {
		text += fmt.Sprintf("[[run]]\nname = \"more %d\"\npixels = 105\n", i)
	}
	_, d, err := prop.Parse([]byte(text), "big")
	require.NoError(t, err)
	return d
}

func settle(m Model) Model {
	s, _ := m.Update(tea.WindowSizeMsg{Width: 120, Height: 37})
	m, cmd := s.(Model).work()
	s, _ = m.Update(cmd())
	return s.(Model)
}

func TestBigPropAnswersKeysWhileWorking(t *testing.T) {
	m := New(Options{Style: styles(termenv.Ascii), Document: big(t)})
	m, cmd := m.work()
	require.NotNil(t, cmd)
	begin := time.Now()
	s, _ := m.Update(tea.KeyMsg{Type: tea.KeyDown})
	assert.Equal(t, "note", s.(Model).lines[s.(Model).at].where.Key)
	t.Logf("a key took %v", time.Since(begin))
}

// The page of power draws the prop with a letter at each pixel, counts each letter, and names the
// volts where data enters and leaves each run.
func TestPowerHasTheVoltsAtThePixels(t *testing.T) {
	for _, size := range []struct{ width, height int }{{160, 44}, {120, 37}, {80, 24}} {
		b := open(t, prop.DemoFile("porthole"), "", size.width, size.height, termenv.Ascii)
		pl, text := b.m.plan, ""
		for _, l := range b.m.pageLines(b.m.textWidth()) {
			text += " " + strings.TrimSpace(l)
		}
		for _, pixel := range []int{1, 36, 37, 84, 85, 144} {
			volts := math.Floor(100*pl.Power.Constant.Volts(pixel-1)) / 100 // never more than there is
			assert.Regexp(t, fmt.Sprintf(`%.2f at (pixel )?%d\b`, volts, pixel), text, "%v", size)
		}
		assert.Contains(t, text, "the chip needs 4.50.")
		for _, means := range []string{"# 20 hold", "+ 9 near", "! 115 ", "F feed"} {
			assert.Contains(t, b.view(), means, "%v", size)
		}
	}
}

// What stands large is never better than the page: a feed without a fuse does not hold. A
// bulb has one place, which is not named.
func TestTheFarViewNamesAMissingFuse(t *testing.T) {
	b := open(t, prop.DemoFile("buoylamp"), "p.toml", 120, 37, termenv.Ascii)
	assert.Equal(t, []string{"No fuse"}, b.m.FarView().Texts)
	assert.NotContains(t, b.view(), "at pixel")
}

// A plan that does not hold is said on every page; one that holds lets each page say what
// it is about.
func TestEachPageHasItsOwnLargeWords(t *testing.T) {
	b := porthole(t)
	says := map[string]string{}
	for range pages {
		says[b.m.pageNow().name()] = b.m.FarView().Texts[0]
		b.press("v")
	}
	assert.Equal(t, map[string]string{"Power": "Too much: 8.8\u00a0of\u00a08.0\u00a0A", "Drawing": "Too much: 8.8\u00a0of\u00a08.0\u00a0A", "Safety": "Too much: 8.8\u00a0of\u00a08.0\u00a0A",
		"Counts": "Too much: 8.8\u00a0of\u00a08.0\u00a0A", "Addresses": "Too much: 8.8\u00a0of\u00a08.0\u00a0A"}, says)
	for range 20 {
		b.press("-")
	}
	for range pages {
		says[b.m.pageNow().name()] = b.m.FarView().Texts[0]
		b.press("v")
	}
	assert.Equal(t, "144 pixels, 3 runs", says["Counts"])
	assert.Equal(t, "Universe 1, slots 1 to 432", says["Addresses"])
	assert.Contains(t, says["Power"], "Holds at ")
}

// The drawing is as large as its column: where it stands beside a page it grows with
// the window, and no page is cut for it.
func TestTheDrawingGrowsWithTheWindow(t *testing.T) {
	last := 0
	for _, size := range []struct{ width, height int }{{160, 44}, {200, 54}} {
		b := open(t, prop.DemoFile("porthole"), "p.toml", size.width, size.height, termenv.Ascii)
		require.Equal(t, wide, b.m.layout())
		first, rows := -1, 0
		for i, l := range strings.Split(b.view(), "\n") {
			cells := string([]rune(l)[inset+b.m.leftWidth()+2+b.m.textWidth():])
			if strings.ContainsAny(cells, "#+!") && !strings.Contains(cells, "holds") {
				if first < 0 {
					first = i
				}
				rows = i - first + 1
			}
		}
		assert.Greater(t, rows, size.height*2/5)
		assert.Greater(t, rows, last)
		last = rows
	}
}

// The list says where it goes on, and ends with no heading that has nothing below.
func TestTheListSaysThatItGoesOn(t *testing.T) {
	for height := 12; height < 60; height++ {
		b := open(t, prop.DemoFile("porthole"), "p.toml", 80, height, termenv.Ascii)
		for range b.m.lines {
			list := b.m.listing(b.m.leftWidth())
			end := len(list) - 1
			for end > len(list)-3 && strings.TrimSpace(list[end]) == "" {
				end--
			}
			off := b.m.listOff(0)
			more := off+len(list) < len(b.m.lines)
			assert.Equal(t, more && len(list) > 2, strings.TrimSpace(list[end]) == "… more below: ↓", "%d rows, line %d", height, b.m.at)
			if more && len(list) > 2 {
				shown := end - 1
				if strings.TrimSpace(list[shown]) == "" {
					shown--
				} else {
					assert.Less(t, len(list), lowList, "no empty row above it: %d rows, line %d", height, b.m.at)
				}
				assert.NotContains(t, list[shown], "──", "%d rows, line %d", height, b.m.at)
				assert.NotEmpty(t, strings.TrimSpace(list[shown]), "%d rows, line %d", height, b.m.at)
			}
			assert.Contains(t, strings.Join(list, "\n"), "▸", "the line chosen is seen")
			assert.False(t, strings.Contains(list[0], "──") && strings.Contains(list[1], "──"), "a heading without figures: %q", list[0])
			if off < b.m.at {
				assert.Contains(t, list[0], "──", "the section that the first figures are of: %d rows, line %d", height, b.m.at)
			}
			b.press("down")
		}
	}
}

// A value that its line cuts stands whole at the foot when it is chosen, and a section
// without tables names the key that adds one.
func TestACutValueIsWholeWhereItIsChosen(t *testing.T) {
	b := open(t, prop.DemoFile("porthole"), "p.toml", 78, 19, termenv.Ascii)
	long := "start of outer ring"
	for range b.m.lines {
		b.press("down")
		if b.m.lines[b.m.at].value == long {
			break
		}
	}
	require.Equal(t, long, b.m.lines[b.m.at].value)
	view := b.view()
	assert.Contains(t, view, "start of outer r…", "its line has no room for it")
	assert.Contains(t, strings.Join(strings.Fields(strings.ReplaceAll(view, "│", "")), " "), long+".")
	lamp := open(t, prop.DemoFile("buoylamp"), "p.toml", 120, 37, termenv.Ascii)
	lamp.press("end")
	require.True(t, lamp.m.lines[lamp.m.at].empty())
	assert.Contains(t, lamp.view(), "▸ none yet; press a to add one")
	assert.Equal(t, "a", lamp.m.Keys().ShortHelp()[1].Help().Key, "among the first hints")
}
