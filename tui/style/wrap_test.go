package style

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The quick look never misses a unit that the search would find.
func TestNoUnitIsMissed(t *testing.T) {
	piece := rapid.SampledFrom([]string{"7", " ", "12", "µA", "A", "kW", "ohm", "ohms", "of", "mm2", "in", "ft", "AWG", "%", "deg", "s", "ms", "V", "\u00a0", "x", ".", ","})
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOfN(piece, 0, 12).Draw(t, "pieces"), "")
		if units.MatchString(text) {
			require.True(t, mayHaveUnit(text), "%q", text)
		}
	})
	require.False(t, mayHaveUnit("Pixel 37 of 144: run 2"))
}

// The last line of a text has two words at least and a third of the width, where its words
// allow it: these do.
func TestNoStubEndsAText(t *testing.T) {
	text := "Bend the joint a little each way and look at all the light after it. Does any of it go out or come back on?"
	for width := 24; width <= 100; width++ {
		lines := Wrap(text, width)
		if len(lines) < 2 {
			continue
		}
		last := lines[len(lines)-1]
		require.Contains(t, last, " ", "%d: %q", width, lines)
		require.GreaterOrEqual(t, len(last), width/3, "%d: %q", width, lines)
		require.Equal(t, text, strings.Join(strings.Fields(strings.Join(lines, " ")), " "), "no word is lost")
		for _, l := range lines {
			require.LessOrEqual(t, len(l), width)
		}
	}
	require.Equal(t, []string{"one two three", "four five"}, Wrap("one two three four five", 19), "a word joins the last one")
	require.Equal(t, []string{"extraordinarily", "long"}, Wrap("extraordinarily long", 16), "nothing can join it")
	require.Equal(t, []string{"aa bbbbbb", "cccccc dddddd", "eeeeeeeee fff"}, Wrap("aa bbbbbb cccccc dddddd eeeeeeeee fff", 18), "no stub is made in the line before")
}

func BenchmarkWrap(b *testing.B) {
	for b.Loop() {
		Wrap("One pixel at a time walks the way the data goes: pixel 37 of 144, the first of the middle ring.", 60)
	}
}
