package style

import (
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// Above is the first rows-1 of lines, for a page whose last row says how many more there
// are; left is the number left out. A heading directly above that row says what is below.
func Above(lines []string, rows int) (above []string, left int) {
	n := min(max(0, rows-1), len(lines))
	return append(make([]string, 0, n+1), lines[:n]...), len(lines) - n
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
