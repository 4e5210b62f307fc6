package style

import (
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// Above is the first rows-1 of lines, for a page whose last row says how many more there
// are; left is the number left out. A heading, or the first line of a paragraph, directly
// above that row is replaced by an empty row and counts as left out, so a page key must
// scroll by at most rows-2 lines.
func Above(lines []string, rows int) (above []string, left int) {
	n := min(max(0, rows-1), len(lines))
	above = append(make([]string, 0, n+1), lines[:n]...)
	if n > 2 && n < len(lines) && Blank(lines[n-2]) && !Blank(lines[n-1]) && !Blank(lines[n]) {
		above[n-1] = ""
		n--
	}
	return above, len(lines) - n
}

// Blank reports whether a line has only spaces.
func Blank(line string) bool { return strings.TrimSpace(ansi.Strip(line)) == "" }

// WithoutEnd is lines without the blank ones after the last.
func WithoutEnd(lines []string) []string {
	for len(lines) > 0 && Blank(lines[len(lines)-1]) {
		lines = lines[:len(lines)-1]
	}
	return lines
}
