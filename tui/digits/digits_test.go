package digits

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestGlyphsFillTheirRows(t *testing.T) {
	for name, set := range map[string]map[rune][]string{"tall": tall, "short": short, "letters": letters} {
		seen := map[string]rune{}
		for r, g := range set {
			want := 2 * Tall
			if name != "tall" {
				want = 2 * Short
			}
			require.Len(t, g, want, "%s %q", name, r)
			for _, line := range g {
				assert.Len(t, line, len(g[0]), "%s %q", name, r)
			}
			all := strings.Join(g, "\n")
			other, twice := seen[all]
			assert.False(t, twice, "%s %q and %q look the same", name, r, other)
			seen[all] = r
		}
	}
}

// From two metres a digit must differ from every other in more than a speck.
func TestDigitsDiffer(t *testing.T) {
	for _, a := range "0123456789" {
		for _, b := range "0123456789" {
			if a >= b {
				continue
			}
			dots := 0
			for row, line := range tall[a] {
				for i := range line {
					if line[i] != tall[b][row][i] {
						dots++
					}
				}
			}
			assert.GreaterOrEqual(t, dots, 4, "%q and %q", a, b)
		}
	}
}

func TestLinesAreEqualInWidth(t *testing.T) {
	for _, height := range []int{Tall, Short} {
		lines := Lines("-0123456789/% x", height)
		require.Len(t, lines, height)
		for _, l := range lines {
			assert.Equal(t, utf8.RuneCountInString(lines[0]), utf8.RuneCountInString(l))
		}
	}
	assert.Equal(t, Lines("7", Tall), Lines("x7y", Tall), "unknown letters leave no gap")
}

func TestOneInBlocks(t *testing.T) {
	assert.Equal(t, []string{" ▄█ ", "  █ ", " ▄█▄"}, Lines("1", Short))
}

func TestWordsHaveEveryLetter(t *testing.T) {
	for r := 'A'; r <= 'Z'; r++ {
		assert.Contains(t, letters, r)
	}
	lines := Words("Pixel 7: dark?")
	require.Len(t, lines, Short)
	for _, l := range lines {
		assert.Equal(t, utf8.RuneCountInString(lines[0]), utf8.RuneCountInString(l))
	}
	assert.Equal(t, Words("LIT"), Words("lit"))
}
