package style

import (
	"slices"
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
func Blank(line string) bool {
	for i := 0; i < len(line); {
		switch n := sgr(line[i:]); {
		case n > 0:
			i += n
		case line[i] == ' ':
			i++
		case ' ' < line[i] && line[i] <= '~': // nearly all lines that are not blank
			return false
		default:
			return strings.TrimSpace(ansi.Strip(line[i:])) == ""
		}
	}
	return true
}

// WithoutEnd is lines without the blank ones after the last.
func WithoutEnd(lines []string) []string {
	for len(lines) > 0 && Blank(lines[len(lines)-1]) {
		lines = lines[:len(lines)-1]
	}
	return lines
}

// ClosedUp are the first rows-1 of lines. Where the last of them would be empty, or the first of several
// that belong together, an empty row above goes, so that another line has room.
func ClosedUp(lines []string, rows int) []string {
	begins := make([]bool, len(lines)) // several lines that belong together
	for i := 1; i+1 < len(lines); i++ {
		begins[i] = Blank(lines[i-1]) && !Blank(lines[i+1])
	}
	for {
		above, left := Above(lines, rows)
		last := len(above) - 1
		if last < 0 || left == 0 || !Blank(above[last]) && !begins[last] {
			return above
		}
		for last > 0 && !Blank(above[last]) {
			last--
		}
		if !Blank(above[last]) {
			return above
		}
		lines = slices.Delete(slices.Clone(lines), last, last+1)
		begins = slices.Delete(begins, last, last+1)
	}
}
