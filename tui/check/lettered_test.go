package check

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/tui/digits"
)

// The arrowhead before a chosen item is widest in the middle and the same above and below it, at every
// size of letters, so that it reads as no digit.
func TestArrowheads(t *testing.T) {
	assert.Equal(t, []string{"", "▸", ""}, arrowhead(3), "by hand")
	for rows := digits.Rows; rows <= 18; rows++ {
		lines := arrowhead(rows)
		assert.Len(t, lines, rows)
		wide := func(row int) int { return utf8.RuneCountInString(strings.TrimRight(lines[row], " ")) }
		for row := range rows {
			assert.Equal(t, wide(row), wide(rows-1-row), "%d: %q", rows, lines)
			assert.LessOrEqual(t, wide(row), wide(rows/2), "%d: %q", rows, lines)
		}
	}
}
