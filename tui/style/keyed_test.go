package style

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A key in a sentence is drawn as a key, and the word after it is on its line.
func TestKeysInSentences(t *testing.T) {
	st := NoColour()
	text := "`[` and `]` walk the light, `l` turns it off, `ctrl+u` clears what was typed."
	for width := 20; width <= 90; width++ {
		lines := WrapKeys(text, width, st.Strong, st.Accent)
		for _, l := range lines {
			require.LessOrEqual(t, Width(l), width, "%q", l)
			for _, key := range []string{"[", "]", "and", "l", "ctrl+u"} {
				require.False(t, strings.HasSuffix(" "+ansi.Strip(l), " "+key), "%d: %q", width, lines)
			}
		}
		all := strings.Join(lines, " ")
		require.Equal(t, strings.ReplaceAll(text, "`", ""), ansi.Strip(all))
		for _, key := range []string{"[", "]", "l", "ctrl+u"} {
			assert.Contains(t, all, st.Accent.Render(key))
		}
	}
	assert.Equal(t, []string{"w records it"}, WrapKeys("`w` records it", 30, Text{}, Text{}), "without styles it is plain")
}

// Among sixteen colours and without any, the line of the accent is under words alone: it is under no
// blank of an indent or between columns, and under no sign.
func TestTheAccentUnderlinesWordsAlone(t *testing.T) {
	accent := NoColour().Accent
	assert.Equal(t, "  ▸ \x1b[1;4mHost\x1b[0m    \x1b[1;4m20:00\x1b[0m  ", accent.Render("  ▸ Host    20:00  "))
	assert.Equal(t, "\x1b[1;4mr\x1b[0m … \x1b[1;4m0\x1b[0m", accent.Render("r … 0"))
	assert.Equal(t, "\x1b[1;4mCount up\x1b[0m", accent.Render("Count up"))
}

func TestWithoutKeysOffersNone(t *testing.T) {
	for text, want := range map[string]string{
		"Part 2 is taken out; `u` brings it back.":                          "Part 2 is taken out.",
		"Changes of 2 Jan 15:04 wait: `t` takes them up, `D` drops them.":   "Changes of 2 Jan 15:04 wait.",
		"none yet; press `a` to add one":                                    "none yet",
		"It has no file. On the Prop page (`P`), `s` saves it. Then go on.": "It has no file. Then go on.",
		"Power off, check again (`C`): what passes is due no more.":         "Power off, check again: what passes is due no more.",
		"No key here.": "No key here.",
	} {
		assert.Equal(t, want, WithoutKeys(text))
	}
}
