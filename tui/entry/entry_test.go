package entry

import (
	"strings"
	"testing"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var keys = map[string]tea.KeyType{"left": tea.KeyLeft, "right": tea.KeyRight, "home": tea.KeyHome, "end": tea.KeyEnd, "ctrl+a": tea.KeyCtrlA,
	"ctrl+e": tea.KeyCtrlE, "ctrl+u": tea.KeyCtrlU, "backspace": tea.KeyBackspace, "delete": tea.KeyDelete, "up": tea.KeyUp, "enter": tea.KeyEnter}

// press gives keys by name; others are typed as text, in one piece.
func press(l Line, all ...string) Line {
	for _, k := range all {
		if t, ok := keys[k]; ok {
			l = l.Key(tea.KeyMsg{Type: t})
			continue
		}
		l = l.Key(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k), Paste: len(k) > 1})
	}
	return l
}

func TestKeys(t *testing.T) {
	const accent = "e\u0301" // e and a combining acute: one letter
	for _, row := range []struct {
		text string
		keys []string
		want string // with the bar
	}{
		{"abc", nil, "abc▏"},
		{"abc", []string{"left", "backspace"}, "a▏c"},
		{"abc", []string{"home", "delete"}, "▏bc"},
		{"abc", []string{"home", "left", "backspace"}, "▏abc"},
		{"abc", []string{"right", "delete"}, "abc▏"},
		{"abc", []string{"ctrl+a", "x", "ctrl+e", "y"}, "xabcy▏"},
		{"abc", []string{"left", "left", "12"}, "a12▏bc"},
		{"abc", []string{"ctrl+u"}, "▏"},
		{"abc", []string{"up", "enter"}, "abc▏"},
		{"", []string{"10.0.0.5\n"}, "10.0.0.5 ▏"},
		{"", []string{"a\r\nb\tc"}, "a b c▏"},
		{"", []string{"a\x1b[31mb\u202ec"}, "a[31mbc▏"},
		{"灯塔", []string{"left", "backspace"}, "▏塔"},
		{"灯塔", []string{"left", "x"}, "灯x▏塔"},
		{"x" + accent + "y", []string{"left", "left"}, "x▏" + accent + "y"},
		{"x" + accent + "y", []string{"left", "backspace"}, "x▏y"},
		{"x" + accent + "y", []string{"home", "right", "delete"}, "x▏y"},
		{"ße", []string{"\u0301"}, "ß" + accent + "▏"},
		{"", []string{"👍🏽", "left", "a"}, "a▏👍🏽"},
	} {
		assert.Equal(t, row.want, press(Of(row.text, 100), row.keys...).View(50), "%q %q", row.text, row.keys)
	}
	l := Of("ab", 100).Key(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("b"), Alt: true})
	assert.Equal(t, "ab", l.String(), "alt with a letter is no letter")
	assert.Equal(t, "ab ", Of("ab", 100).Key(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(" ")}).String())
}

func TestNoMoreThanItTakes(t *testing.T) {
	assert.Equal(t, "abcdef", press(Of("abc", 6), "defghi").String())
	assert.Equal(t, "abc灯", press(Of("abc", 8), "灯塔").String(), "never a piece of a letter")
	assert.Empty(t, press(Line{}, "a").String())
}

func TestTurn(t *testing.T) {
	c := []string{"line", "ring", "star"}
	assert.Equal(t, "ring", Of("line", 9).Turn(c, 1).String())
	assert.Equal(t, "star", Of("line", 9).Turn(c, -1).String())
	assert.Equal(t, "line", Of("knot", 9).Turn(c, 1).String())
	assert.Equal(t, "knot", Of("knot", 9).Turn(nil, 1).String())
}

func TestLongTextKeepsTheBarInSight(t *testing.T) {
	l := Of(strings.Repeat("灯", 40)+"end", 1000)
	assert.Equal(t, "灯灯灯end▏", l.View(11))
	assert.Equal(t, "▏灯灯灯灯灯", press(l, "home").View(11))
	lines := press(Of(strings.Repeat("many words ", 40), 1000), "home").Wrapped("Note: ", 30, 5)
	assert.Len(t, lines, 5)
	assert.True(t, strings.HasPrefix(lines[0], "Note: ▏many"), lines[0])
	lines = Of(strings.Repeat("x", 200), 1000).Wrapped("Note: ", 30, 5)
	assert.Len(t, lines, 5)
	assert.True(t, strings.HasSuffix(lines[4], "x▏"), "a word longer than the page is broken: %q", lines)
}

// However one types, the text stays whole letters, the page's width is kept,
// the bar is in sight, and an older copy does not change.
func TestAnyKeys(t *testing.T) {
	var names []string
	for k := range keys {
		names = append(names, k)
	}
	some := append(names, "a", "灯", "e\u0301", "\u0301", "👍🏽", "paste of words\n", "\x1b[2J", "\u200d")
	rapid.Check(t, func(t *rapid.T) {
		most := rapid.IntRange(0, 60).Draw(t, "most")
		l := Of("", most)
		width := rapid.IntRange(4, 30).Draw(t, "width")
		for _, k := range rapid.SliceOfN(rapid.SampledFrom(some), 0, 60).Draw(t, "keys") {
			before, text := l, l.String()
			l = press(l, k)
			require.Equal(t, text, before.String())
			require.True(t, utf8.ValidString(l.String()))
			require.LessOrEqual(t, len(l.String()), most)
			v := l.View(width)
			require.LessOrEqual(t, ansi.StringWidth(v), width, "%q", v)
			require.Contains(t, v, bar)
			lines := l.Wrapped("Note: ", width, 5)
			require.LessOrEqual(t, len(lines), 5)
			require.Contains(t, strings.Join(lines, ""), bar)
			for _, s := range lines {
				require.LessOrEqual(t, ansi.StringWidth(s), width, "%q", lines)
			}
		}
	})
}
