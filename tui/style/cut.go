package style

import (
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// Above is what of lines is in rows rows above a last one that says how much more there
// is: rows-1 lines, and in left how many are left out. A heading, or the first line of a
// paragraph, does not stand alone above that line: it gives an empty row and counts as left
// out, so a page down goes on at most rows-2 lines further.
func Above(lines []string, rows int) (above []string, left int) {
	n := min(max(0, rows-1), len(lines))
	above = append(make([]string, 0, n+1), lines[:n]...)
	if n > 2 && n < len(lines) && Blank(lines[n-2]) && !Blank(lines[n-1]) && !Blank(lines[n]) {
		above[n-1] = ""
		n--
	}
	return above, len(lines) - n
}

// Blank reports whether nothing is on a line.
func Blank(line string) bool { return strings.TrimSpace(ansi.Strip(line)) == "" }

// WithoutEnd is lines without the blank ones after the last.
func WithoutEnd(lines []string) []string {
	for len(lines) > 0 && Blank(lines[len(lines)-1]) {
		lines = lines[:len(lines)-1]
	}
	return lines
}
