package rowcheck

import (
	"fmt"
	"strings"
)

// edge is the number of columns that text leaves free at either side of a window.
const edge = 2

// chosen are the signs that stand in the left margin, before what is chosen: the sign itself, and what it is
// made of where it is large.
const chosen = "▸▌▐█▙▛▀▄▘▝▖▗"

// Edges are the lines of a window whose text does not keep to its edges. cells is the width of a text.
func Edges(lines []string, width int, cells func(string) int) (out []string) {
	for _, l := range lines {
		l = strings.TrimRight(sgr.ReplaceAllString(l, ""), " ")
		if cells(l) > width-edge {
			out = append(out, fmt.Sprintf("reaches column %d of %d: %q", cells(l), width, strings.TrimSpace(l)))
		}
		for i, r := range []rune(l) {
			if i >= edge {
				break
			}
			if r != ' ' && !strings.ContainsRune(chosen, r) {
				out = append(out, fmt.Sprintf("begins in column %d: %q", i+1, strings.TrimSpace(l)))
				break
			}
		}
	}
	return out
}
