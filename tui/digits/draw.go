package digits

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// drawLines writes lines below one another, all as wide as the widest.
func (f face) drawLines(lines []string) (out []string) {
	width := 0
	for _, l := range lines {
		width = max(width, f.width(l))
	}
	for i, l := range lines {
		if i > 0 {
			out = append(out, strings.Repeat(" ", width))
		}
		for _, row := range f.draw(l) {
			out = append(out, row+strings.Repeat(" ", width-utf8.RuneCountInString(row)))
		}
	}
	return out
}

// plain is capitals in the terminal's own letters, with gaps between them if they fit.
func plain(width int, texts []string) []string {
	for _, write := range []func(string) string{spaced, strings.ToUpper} {
		for _, t := range texts {
			if t = write(t); utf8.RuneCountInString(t) <= width {
				return []string{t}
			}
		}
	}
	if len(texts) == 0 {
		return nil
	}
	return wrapped(strings.ToUpper(texts[len(texts)-1]), max(1, width))
}

// spaced is capitals with a gap after each, and a wider one between words.
func spaced(text string) string {
	return strings.Join(strings.Split(strings.ToUpper(text), ""), " ")
}

// wrapped breaks at spaces, and in a word that is wider than a line.
func wrapped(text string, width int) []string {
	var out []string
	line := ""
	for _, word := range apart(text) {
		for utf8.RuneCountInString(word) > width {
			if line != "" {
				out, line = append(out, line), ""
			}
			r := []rune(word)
			out, word = append(out, string(r[:width])), string(r[width:])
		}
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width:
			out, line = append(out, line), word
		default:
			line += " " + word
		}
	}
	out = append(out, line)
	for i, l := range out {
		out[i] = l + strings.Repeat(" ", width-utf8.RuneCountInString(l))
	}
	return out
}

// drawable reports whether every sign of a text has a drawing, so that none is
// left out.
func drawable(text string) bool {
	for _, r := range text {
		if dots(r) == nil {
			return false
		}
	}
	return text != ""
}

// dots are the lines of dots of a sign; nil when it has no drawing.
func dots(r rune) []string {
	if r == noBreak {
		r = ' '
	}
	for _, signs := range []map[rune][]string{letters, numbers, smalls} {
		if g, ok := signs[r]; ok {
			return g
		}
	}
	return nil
}

// width of a text in cells.
func (f face) width(text string) int { return (f.quarters(text) + 1) / 2 }

// quarters is how many quarters of cells wide a text is, without a gap after the last sign.
func (f face) quarters(text string) int {
	n := 0
	for _, r := range text {
		if g := dots(r); g != nil {
			n += len(g[0])*f.wide + f.gap()
		}
	}
	return max(0, n-f.gap())
}

// draw writes the text in the face.
func (f face) draw(text string) []string {
	page := f.page(text)
	out := make([]string, f.rows())
	for i := range out {
		out[i] = cells(page[2*i], page[2*i+1])
	}
	return out
}

// page is the text as lines of quarters, true for filled ones.
func (f face) page(text string) [][]bool {
	wide := f.quarters(text)
	page, all := make([][]bool, high*f.tall), make([]bool, high*f.tall*wide)
	for y := range page {
		page[y], all = all[:wide], all[wide:]
	}
	x := 0
	for _, r := range text {
		if g := dots(r); g != nil {
			f.fill(page, x, g)
			x += len(g[0])*f.wide + f.gap()
		}
	}
	return page
}

// fill puts a sign on a page from a column of quarters on, each dot as wide and high as the face wants.
func (f face) fill(page [][]bool, x int, sign []string) {
	for y := range page {
		dots := sign[y/f.tall]
		for i := range len(dots) * f.wide {
			page[y][x+i] = dots[i/f.wide] == '#'
		}
	}
}

// cells joins an upper and a lower line of quarters into one row of cells.
func cells(up, low []bool) string {
	var b strings.Builder
	b.Grow(3 * (len(up) + 1) / 2)
	for i := 0; i < len(up); i += 2 {
		b.WriteString(quarters[bit(up, i)|bit(up, i+1)<<1|bit(low, i)<<2|bit(low, i+1)<<3])
	}
	return b.String()
}

// quarters are indexed by upper left 1, upper right 2, lower left 4, lower right 8.
var quarters = strings.Split(" ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█", "")

// Lowered are large letters half a row lower, in one row more: half a row of their ground is above and below
// them then.
func Lowered(lines []string) []string {
	out := make([]string, len(lines)+1)
	var above []rune
	for i := range out {
		var here []rune
		if i < len(lines) {
			here = []rune(lines[i])
		}
		var b strings.Builder
		for x := range max(len(above), len(here)) {
			b.WriteString(quarters[filledAt(above, x)>>2|filledAt(here, x)<<2&15])
		}
		out[i], above = b.String(), here
	}
	return out
}

// filledAt is which quarters of a cell of letters are filled, as an index of quarters.
func filledAt(line []rune, x int) int {
	if x >= len(line) {
		return 0
	}
	return max(0, slices.Index(quarters, string(line[x])))
}

func bit(line []bool, i int) int {
	if i < len(line) && line[i] {
		return 1
	}
	return 0
}

// glyph turns a drawing into its lines of dots.
func glyph(drawing string) []string { return strings.Fields(drawing) }
