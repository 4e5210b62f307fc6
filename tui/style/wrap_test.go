package style

import (
	"slices"
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

// The last line of a text has two words at least, and a short one no fewer than the line before it can
// spare. These words allow it.
func TestNoStubEndsAText(t *testing.T) {
	text := "Bend the joint a little each way and look at all the light after it. Does any of it go out or come back on?"
	for width := 24; width <= 100; width++ {
		lines := Wrap(text, width)
		if len(lines) < 2 {
			continue
		}
		last := lines[len(lines)-1]
		require.Contains(t, last, " ", "%d: %q", width, lines)
		require.Equal(t, text, strings.Join(strings.Fields(strings.Join(lines, " ")), " "), "no word is lost")
		for _, l := range lines {
			require.LessOrEqual(t, len(l), width)
		}
	}
	require.Equal(t, []string{"one two three", "four five"}, Wrap("one two three four five", 19), "a word joins the last one")
	require.Equal(t, []string{"extraordinarily", "long"}, Wrap("extraordinarily long", 16), "nothing can join it")
	require.Equal(t, []string{"aa bbbbbb", "cccccc dddddd", "eeeeeeeee fff"}, Wrap("aa bbbbbb cccccc dddddd eeeeeeeee fff", 18), "no stub is made in the line before")
}

// Whatever the words, some of them kept together, and the width: the last of several lines has one word only
// where another has no room in it or would leave much less than that in the line before it. No line but the
// last two differs from the fullest lines unless all are shorter, and the last gets one word more at most.
func TestNoLastLineOfOneWord(t *testing.T) {
	word := rapid.StringMatching(`[a-z]{1,12}(\x{a0}[a-z]{1,6}){0,2}`)
	count := func(line string) int { return len(strings.Split(strings.TrimSpace(line), " ")) }
	rapid.Check(t, func(t *rapid.T) {
		text, width := strings.Join(rapid.SliceOfN(word, 1, 20).Draw(t, "words"), " "), rapid.IntRange(8, 60).Draw(t, "width")
		lines, full := withoutStub(text, width), broken(text, width)
		require.Equal(t, text, strings.Join(lines, " "))
		require.Equal(t, len(full), len(lines))
		n := len(lines)
		if n == 1 {
			return
		}
		before, last := wide(lines[n-2]), wide(lines[n-1])
		moved := withOneWord(lines)
		if !severalWords(lines[n-1]) {
			require.True(t, wide(moved[n-1]) > float64(width) || ragged(moved), "%d: %q", width, lines)
		} else if slices.Equal(full[:n-2], lines[:n-2]) && !slices.Equal(full, lines) {
			require.LessOrEqual(t, count(lines[n-1]), count(full[n-1])+1, "%d: %q", width, lines)
			require.GreaterOrEqual(t, before, last/2, "%d: %q", width, lines)
		}
	})
}

// A style that a line breaks ends with that line and begins again with the next one, so that neither a
// second column nor the ground beside the text takes it, and no colour is lost.
func TestStylesGoOnInTheNextLine(t *testing.T) {
	red, plain := "\x1b[31m", "\x1b[0m"
	lines := Wrap("You said "+red+"none: all is as in the picture"+plain+" and went on from there", 20)
	require.Greater(t, len(lines), 2)
	for _, l := range lines {
		require.Equal(t, strings.Count(l, red), strings.Count(l, plain), "%q", l)
	}
	require.Equal(t, 2, strings.Count(strings.Join(lines, ""), red), "%q", lines)
	st := Styles{Accent: Text{red, red, plain}}
	for width := 8; width < 30; width++ {
		for _, l := range WrapKeys("Then `shift tab` goes back and `enter` goes on.", width, Text{}, st.Accent) {
			require.Equal(t, strings.Count(l, red), strings.Count(l, plain), "%d: %q", width, l)
		}
	}
}

func BenchmarkWrap(b *testing.B) {
	for b.Loop() {
		Wrap("One pixel at a time walks the way the data goes: pixel 37 of 144, the first of the middle ring.", 60)
	}
}

// No more words are moved to the last line than it needs: else the lines before it look broken
// far from the edge.
func TestLinesBeforeTheLastStayLong(t *testing.T) {
	for _, row := range []struct {
		text  string
		width int
		want  []string
	}{
		{"Three faults look alike here. Try in this order, the quickest first:", 59, []string{"Three faults look alike here. Try in this order,", "the quickest first:"}},
		{`Run "outer ring" has 1 pixel fewer than planned: 59 instead of 60.`, 59, []string{`Run "outer ring" has 1 pixel fewer than planned:`, "59 instead of 60."}},
		{"The mains side is for licensed people, by local codes.", 48, []string{"The mains side is for licensed people, by", "local codes."}},
		{"Part: middle ring, 37 to 84 of the prop.", 36, []string{"Part: middle ring,", "37 to 84 of the prop."}},
		{"ring 37 to 84 of the prop.", 22, []string{"ring", "37 to 84 of the prop."}},
	} {
		require.Equal(t, row.want, Wrap(row.text, row.width))
	}
}

// No line ends between the word universe or slot and its number, nor before "of the prop" after
// one.
func TestPlacesAreNotTorn(t *testing.T) {
	for _, text := range []string{
		"Pixel 4 of inner ring, universe 1 slot 10.",
		"Pixel 1 of middle ring, universe 1 slot 109. Universe 2 slot 4 is the next one.",
		"Only middle ring, pixels 37 to 84 of the prop.",
		`Comes and goes at joints 1 "bow to mast", 2 "mast to stern" and 3 "stern to keel" of run "rim": look 2 of 6.`,
	} {
		for width := 20; width <= 80; width++ {
			lines := Wrap(text, width)
			require.NotRegexp(t, `(?i)(universe|slot|pixels?|joints|run|look)\n|\d\n"|\d\n?(of|to)\n?\d|\d of\n|\d of the\n`, strings.Join(lines, "\n"), "%d", width)
			require.Equal(t, text, strings.Join(lines, " "))
		}
	}
}

// Whatever the width, a number stays on the line of its word, a count with what it counts, and no term
// is torn that says the opposite then; these widths have room for each.
func TestNumbersStayWithTheirWords(t *testing.T) {
	text := "Power off: J1 has 3 wires of 60 cm and no plus; pixel 36 gets 4.5 V at level 44 % from 2 feeds and 2 supplies in universe 1 slot 109. Red is 3 wide; 4 pixels of 432 slots are left: feed 2: 2.0 A."
	for width := 20; width < 130; width++ {
		all := strings.Join(Wrap(text, width), "\n")
		for _, pair := range []string{"Power off", "3 wires", "60 cm", "no plus", "pixel 36", "4.5 V", "level 44 %", "2 feeds", "2 supplies", "universe 1", "slot 109", "3 wide", "4 pixels", "432 slots", "feed 2: 2.0 A"} {
			require.Contains(t, all, pair, "%d", width)
		}
	}
}
