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

// leastApart is the least rows of a page whose note that more follows has an empty row before it.
const leastApart = 4

// Cut is the first of lines in fewer than rows, for a page that ends with a note that more follow: an empty
// row stands before it, and the first of several lines that belong together does not stand there alone. left
// is the number of lines left out. All lines where they fit.
func Cut(lines []string, rows int) (above []string, left int) {
	if len(lines) <= rows {
		return slices.Clone(lines), 0
	}
	if rows < leastApart {
		return Above(lines, rows)
	}
	n := rows - 2
	for n > 0 && (Blank(lines[n-1]) || begins(lines, n-1)) {
		n--
	}
	if n == 0 {
		n = rows - 2
	}
	return append(slices.Clone(lines[:n]), ""), len(lines) - n
}

// begins reports whether a line is the first of several that belong together: after an empty row, or with
// a line below that stands further in.
func begins(lines []string, i int) bool {
	if i+1 >= len(lines) || Blank(lines[i+1]) {
		return false
	}
	return i == 0 || Blank(lines[i-1]) || indent(lines[i+1]) > indent(lines[i])
}

// indent is the number of spaces before the text of a line.
func indent(line string) int {
	plain := ansi.Strip(line)
	return len(plain) - len(strings.TrimLeft(plain, " "))
}
