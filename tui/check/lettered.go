package check

import (
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// lettered is the short name of an item with its key in large letters, as lines of so many cells. A chosen
// one has an arrowhead as high as they are before it: it is seen from two metres, without colours too.
func lettered(st style.Styles, large []string, chosen bool, width int) (lines []string) {
	look, marks := plain, make([]string, len(large))
	if chosen {
		look, marks = st.Strong.Render, arrowhead(len(large))
	}
	key := firstWide(large)
	for k, l := range large {
		whole := []rune(l)
		at := min(key, len(whole))
		text := st.AccentSign().Render(string(whole[:at])) + look(string(whole[at:]))
		lines = append(lines, style.Cell(st.AccentSign().Render(style.Cell(marks[k], edge))+text, width))
	}
	return lines
}

// quadrants are the block elements by the quarters of a cell that they fill: upper left 1, upper right 2,
// lower left 4, lower right 8.
var quadrants = []rune(" ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█")

// arrowhead is ▸ in so many rows, one cell wide; in the middle one beside the narrow letters of few rows, or it
// would look like one of them.
func arrowhead(rows int) (lines []string) {
	if rows <= digits.Rows {
		lines = make([]string, rows)
		lines[rows/2] = "▸"
		return lines
	}
	wide := func(half int) int { return 2 * min(half, 2*rows-1-half) / max(1, rows-1) } // in halves of a cell
	for row := range rows {
		upper, lower := 1<<wide(2*row)-1, 1<<wide(2*row+1)-1
		lines = append(lines, string(quadrants[upper|lower<<2]))
	}
	return lines
}

// firstWide is how many columns the first of large letters takes.
func firstWide(large []string) (columns int) {
	for column := 1; ; column++ {
		empty := true
		for _, l := range large {
			if whole := []rune(l); column < len(whole) && whole[column] != ' ' {
				empty = false
			}
		}
		if empty {
			return column
		}
	}
}
