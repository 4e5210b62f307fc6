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
