// Package lettercheck reads large letters off a page for tests of screens, so that a letter
// that is cut, and a text that is, are seen. It is given who draws them, knows no faces and
// finds the size of the dots itself.
package lettercheck

import (
	"slices"
	"strings"
)

// Signs are those that are read.
const Signs = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.,:;?!-+%/'\"()="

// quarters are the block elements (Unicode chart U+2580) by the quarters they fill: upper left 1,
// upper right 2, lower left 4, lower right 8.
const quarters = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"

// rows is the height of the smallest letters; their dots are a quarter of a cell high and two
// quarters wide.
const rows = 3

// A Reader knows the dots of every sign, as columns.
type Reader struct{ signs []sign }

type sign struct {
	text    string
	columns [][]bool
}

// New learns the signs from who draws them, the widest letters of rows first.
func New(draw func(width, rows int, texts ...string) []string) *Reader {
	r := &Reader{}
	for _, c := range Signs {
		lines := draw(100, rows, string(c))
		if len(lines) != rows {
			continue // it has no large form
		}
		var columns [][]bool
		for x, col := range bits(lines) {
			if x%2 == 0 {
				columns = append(columns, col)
			}
		}
		r.signs = append(r.signs, sign{string(c), trim(columns)})
	}
	slices.SortStableFunc(r.signs, func(a, b sign) int { return len(b.columns) - len(a.columns) })
	return r
}

// bits are the quarters of lines, by columns.
func bits(lines []string) [][]bool {
	width := 0
	for _, l := range lines {
		width = max(width, len([]rune(l)))
	}
	out := make([][]bool, 2*width)
	for x := range out {
		out[x] = make([]bool, 2*len(lines))
	}
	for y, l := range lines {
		for x, c := range []rune(l) {
			n := strings.IndexRune(quarters, c)
			if n < 0 {
				continue // a text beside the letters
			}
			n = len([]rune(quarters[:n]))
			out[2*x][2*y], out[2*x+1][2*y] = n&1 > 0, n&2 > 0
			out[2*x][2*y+1], out[2*x+1][2*y+1] = n&4 > 0, n&8 > 0
		}
	}
	return out
}

func blank(column []bool) bool { return !slices.Contains(column, true) }

// trim leaves out blank columns at the right.
func trim(columns [][]bool) [][]bool {
	for len(columns) > 0 && blank(columns[len(columns)-1]) {
		columns = columns[:len(columns)-1]
	}
	return columns
}

// Line reads one line of large letters, without its spaces; false where any of it is no letter.
func (r *Reader) Line(lines []string) (string, bool) {
	if len(lines) == 0 || len(lines)%rows != 0 {
		return "", false
	}
	page, tall := trim(withoutMark(bits(lines))), len(lines)/rows
	for wide := tall; wide <= 2*tall; wide++ {
		if text, ok := r.read(page, wide, tall); ok {
			return text, true
		}
	}
	return "", false
}

// withoutMark leaves out an arrowhead in the margin, that of the chosen line of a list: two columns, the second
// lower than the first.
func withoutMark(page [][]bool) [][]bool {
	const wide = 2
	if len(page) > wide && !blank(page[0]) && !blank(page[1]) && blank(page[wide]) && filled(page[1]) < filled(page[0]) {
		return page[wide:]
	}
	return page
}

func filled(column []bool) (n int) {
	for _, full := range column {
		if full {
			n++
		}
	}
	return n
}

// read reads columns as signs whose dots are so many quarters wide and high.
func (r *Reader) read(page [][]bool, wide, tall int) (text string, ok bool) {
	for x := 0; x < len(page); {
		if blank(page[x]) {
			x++
			continue
		}
		i := slices.IndexFunc(r.signs, func(s sign) bool { return s.stands(page[x:], wide, tall) })
		if i < 0 {
			return "", false
		}
		text, x = text+r.signs[i].text, x+wide*len(r.signs[i].columns)
	}
	return text, text != ""
}

// stands reports whether a sign is what columns begin with, and ends there.
func (s sign) stands(page [][]bool, wide, tall int) bool {
	n := wide * len(s.columns)
	if n > len(page) || n < len(page) && !blank(page[n]) {
		return false
	}
	for x := range n {
		for y, full := range page[x] {
			if full != s.columns[x/wide][y/tall] {
				return false
			}
		}
	}
	return true
}

// Page reads all lines of large letters of a view; false where one of them is not whole.
func (r *Reader) Page(view string) (texts []string, ok bool) {
	var band []string
	for _, l := range append(strings.Split(view, "\n"), "") {
		if strings.ContainsAny(l, quarters[1:]) {
			band = append(band, l)
			continue
		}
		if len(band) > 0 {
			text, whole := r.Line(band)
			if !whole {
				return texts, false
			}
			texts, band = append(texts, text), nil
		}
	}
	return texts, true
}
