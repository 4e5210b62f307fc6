// Package digits draws words and numbers that can be read from two metres, with block
// characters (Unicode chart U+2580).
//
// Every sign is drawn with dots, 6 of them high. A face turns dots into quarters of a
// cell. A quarter is about twice as high as wide, so a dot of two quarters by one is
// square, and a dot of one quarter makes the narrowest face.
//
// A legible height is the reading distance over 200 (common practice), 10 mm at
// two metres. Three rows of a 12-point terminal are 12 mm, six are 25 mm.
package digits

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// Rows is the height of the smallest face, in rows. Faces grow by this much.
const Rows = 3

// high is the height of every sign in dots.
const high = 6

// A face is one way to draw dots: each is so many quarters of a cell wide and high.
type face struct {
	wide, tall int
	tight      bool // the gap between letters is half a cell
}

func (f face) rows() int { return Rows * f.tall }

// faces are the faces at most so many rows high, the largest first: of each height those
// with square dots down to those with dots half as wide.
func faces(rows int) (out []face) {
	for tall := rows / Rows; tall >= 1; tall-- {
		for wide := 2 * tall; wide >= tall; wide-- {
			out = append(out, face{wide: wide, tall: tall})
		}
	}
	if len(out) > 0 {
		out = append(out, face{1, 1, true}) // the narrowest, for the least room
	}
	return out
}

// easy reports whether a face is easy to read from two metres: no stroke is thinner than
// a cell.
func (f face) easy() bool { return f.wide > 1 }

// apart reports whether the gap between letters is at least a cell.
func (f face) apart() bool { return !f.tight }

func (f face) any() bool { return true }

// gap is the gap between two letters, in quarters of a cell: a dot, and at least a cell
// unless the face is tight, so that strokes of neighbours are not confused.
func (f face) gap() int {
	if f.tight {
		return f.wide
	}
	return max(2, f.wide)
}

// Large draws one of texts as high as width x rows cells allow, of those as high the first;
// texts say the same, each shorter than the one before. It prefers a shorter text to a lower
// face and to one that is harder to read, that to plain capitals, and wraps these if nothing
// else fits, so that no text is cut. Lines have equal width.
func Large(width, rows int, texts ...string) []string {
	for _, reads := range []func(face) bool{face.easy, face.apart, face.any} {
		if out := highest(width, rows, texts, reads); out != nil {
			return out
		}
	}
	return plain(width, texts)
}

// Line is Large where letters have a gap of a cell at least; nil where no text has room so.
func Line(width, rows int, texts ...string) []string {
	for _, reads := range []func(face) bool{face.easy, face.apart} {
		if out := highest(width, rows, texts, reads); out != nil {
			return out
		}
	}
	return nil
}

// highest is the one of texts that can be drawn highest in a face for which reads is true, of those as high
// the first; nil for none.
func highest(width, rows int, texts []string, reads func(face) bool) []string {
	var most face
	var text string
	for _, t := range texts {
		t = strings.ToUpper(t)
		if f, ok := largest(t, width, rows, reads); ok && f.tall > most.tall {
			most, text = f, t
		}
	}
	if text == "" {
		return nil
	}
	return most.draw(text)
}

// HeadRows is how high the large words at the head of a page may be: a fifth of the window,
// which has the lines of the bench besides the rows of the page. So they grow from a window
// of 24 rows to one of 40, 50 and 60.
func HeadRows(page int) int {
	const bench, share = 6, 5
	return max(1, (page+bench)/share/Rows) * Rows
}

// CutKey is the key that a text begins with, which keeps its small letters, and after the first space its
// meaning, in capitals. Keys that are several have spaces that are not broken (Whole).
func CutKey(text string) (key, means string) {
	key, means, _ = strings.Cut(text, " ")
	return key, strings.ToUpper(strings.TrimSpace(means))
}

// Alike draws all texts in one face, rows high: the widest in which all fit, or nil. Each
// text is a key with its meaning (CutKey).
func Alike(width, rows int, keys ...string) [][]string {
	out, _ := AlikeKeys(width, rows, keys...)
	return out
}

// AlikeKeys is Alike with the number of cells that each key takes at the left.
func AlikeKeys(width, rows int, keys ...string) (out [][]string, cells []int) {
	texts, keyed := make([]string, len(keys)), make([]string, len(keys))
	for i, k := range keys {
		key, means := CutKey(k)
		keyed[i] = asKeys(key)
		texts[i] = strings.TrimSpace(keyed[i] + " " + means)
	}
	f, ok := common(width, rows, texts)
	if !ok {
		return nil, nil
	}
	for i, t := range texts {
		out, cells = append(out, f.draw(t)), append(cells, f.width(keyed[i]))
	}
	return out, cells
}

// Keyed is AlikeKeys with the meanings of each group in one column, right of its widest key.
func Keyed(width, rows int, groups ...[]string) (out [][]string, cells []int) {
	for _, f := range faces(rows) {
		if f.tall < rows/Rows {
			return nil, nil
		}
		out, cells = nil, nil
		fits := true
		for _, keys := range groups {
			lines, of, ok := f.keyed(width, keys)
			out, cells, fits = append(out, lines...), append(cells, of...), fits && ok
		}
		if fits && len(out) > 0 {
			return out, cells
		}
	}
	return nil, nil
}

// keyed are keys with their meanings in one column; ok is false where one has no drawing or no room.
func (f face) keyed(width int, keys []string) (out [][]string, cells []int, ok bool) {
	column := 0
	for _, k := range keys {
		key, _ := CutKey(k)
		column = max(column, f.width(asKeys(key)))
	}
	gap := f.wide + f.gap() // a space with its gaps
	for _, k := range keys {
		key, means := CutKey(k)
		key = asKeys(key)
		if !drawable(key) || means != "" && (!drawable(means) || column+gap+f.width(means) > width) || column > width {
			return nil, nil, false
		}
		lines := f.draw(key)
		if means != "" {
			for i, l := range f.draw(means) {
				lines[i] += strings.Repeat(" ", column+gap-utf8.RuneCountInString(lines[i])) + l
			}
		}
		out, cells = append(out, lines), append(cells, f.width(key))
	}
	return out, cells, true
}

// asKeys is text with the key 0 as it is drawn; a number keeps its zeros.
func asKeys(text string) string {
	keys := strings.Split(text, string(noBreak))
	for i, k := range keys {
		if k == "0" {
			keys[i] = string(zeroKey)
		}
	}
	return strings.Join(keys, string(noBreak))
}

// First draws the first of texts in the face, rows high, in which all fit, in capitals, with the width
// of the widest; nil where there is none.
func First(width, rows int, texts ...string) (first []string, widest int) {
	capitals := make([]string, len(texts))
	for i, t := range texts {
		capitals[i] = strings.ToUpper(t)
	}
	f, ok := common(width, rows, capitals)
	if !ok || len(texts) == 0 {
		return nil, 0
	}
	for _, t := range capitals {
		widest = max(widest, f.width(t))
	}
	return f.draw(capitals[0]), widest
}

// Easy reports whether all texts have room in a face, rows high, no stroke of which is thinner than a cell.
func Easy(width, rows int, texts ...string) bool {
	f, ok := common(width, rows, texts)
	return ok && f.easy()
}

// common is the widest face, rows high, in which all texts fit.
func common(width, rows int, texts []string) (face, bool) {
	for _, f := range faces(rows) {
		if f.tall >= rows/Rows && !slices.ContainsFunc(texts, func(t string) bool { return !drawable(t) || f.width(t) > width }) {
			return f, true
		}
	}
	return face{}, false
}

// largest is the largest face in which a text fits, of those for which reads is true.
func largest(text string, width, rows int, reads func(face) bool) (face, bool) {
	if !drawable(text) {
		return face{}, false
	}
	for _, f := range faces(rows) {
		if reads(f) && f.width(text) <= width {
			return f, true
		}
	}
	return face{}, false
}

// Block is Large over several lines with an empty row between them, for a page that shows
// one thing. It takes the first of texts that can be read from afar, in the face and the
// lines that make it largest, unless a later one can be more than twice as high. Lines with a stub
// come after others, unless they are half as high again, and after a narrow face on one line, unless
// they are twice as high.
func Block(width, rows int, texts ...string) []string {
	most := 0
	var flowing, rest []block
	for _, t := range texts {
		t = strings.ToUpper(t)
		f, lines := broken(t, width, rows, even)
		free, more := broken(t, width, rows, ends)
		if more == nil {
			free, more = broken(t, width, rows, anyLines)
		}
		most = max(most, free.tall)
		switch {
		case lines == nil:
		case 2*free.tall >= 3*f.tall:
			flowing = append(flowing, block{free, more})
		default:
			flowing = append(flowing, block{f, lines})
		}
		one, ok := largest(t, width, rows, face.apart)
		switch {
		case more != nil && (!ok || free.tall >= 2*one.tall):
			rest = append(rest, block{free, more})
		case ok:
			rest = append(rest, block{one, []string{t}})
		}
	}
	for _, b := range append(flowing, rest...) {
		if 2*b.tall >= most {
			return b.drawLines(b.lines)
		}
	}
	return Large(width, rows, texts...)
}

// A block is lines in the face in which they are drawn.
type block struct {
	face
	lines []string
}

// Reads reports whether Block can draw one of texts in letters with a gap of a cell.
func Reads(width, rows int, texts ...string) bool {
	return slices.ContainsFunc(texts, func(t string) bool {
		t = strings.ToUpper(t)
		_, one := largest(t, width, rows, face.apart)
		_, several := broken(t, width, rows, anyLines)
		return one || several != nil
	})
}

// broken is a text in the lines for which its face is largest, of those for which good is
// true; nil when none can be read from afar.
func broken(text string, width, rows int, good func(lines []string) bool) (most face, best []string) {
	for n := 1; n*(Rows+1)-1 <= rows; n++ {
		lines := inLines(text, n)
		if len(lines) < n {
			break // no more words to break between
		}
		for _, lines := range [][]string{lines, fromEnd(text, n)} {
			f, ok := largestOf(lines, width, (rows+1)/n-1)
			if ok && f.above(most) && good(lines) {
				most, best = f, lines
			}
		}
	}
	return most, best
}

func anyLines([]string) bool { return true }

// ends reports whether no word is alone on the last line, unless each has a line of its own or that one is
// about as wide as the others.
func ends(lines []string) bool {
	last, widest := len(lines)-1, 0
	for _, l := range lines {
		widest = max(widest, utf8.RuneCountInString(l))
	}
	return len(strings.Fields(lines[last])) > 1 || 4*utf8.RuneCountInString(lines[last]) >= 3*widest || len(apart(strings.Join(lines, " "))) == len(lines)
}

// fromEnd is inLines for the text read backwards: the last lines are filled before the first. It is inLines
// where one word would be alone on the first line.
func fromEnd(text string, n int) []string {
	words := apart(text)
	slices.Reverse(words)
	lines := inLines(strings.Join(words, " "), n)
	for i, l := range lines {
		words = apart(l)
		slices.Reverse(words)
		lines[i] = strings.Join(words, " ")
	}
	slices.Reverse(lines)
	if len(apart(lines[0])) < 2 {
		return inLines(text, n)
	}
	return lines
}

// even reports whether no line is a stub: a single word no wider than half of the widest
// line (a third, on the first line), or one of several single words of a longer text.
func even(lines []string) bool {
	widest, words, alone := 0, 0, 0
	for _, l := range lines {
		widest = max(widest, utf8.RuneCountInString(l))
		words += len(apart(l))
	}
	for i, l := range lines {
		if len(apart(l)) > 1 {
			continue
		}
		most := 2
		if i == 0 {
			most = 3
		}
		if alone++; most*utf8.RuneCountInString(l) <= widest {
			return false
		}
	}
	return len(lines) == 1 || words == 2 || alone < 2 && ends(lines)
}

// inLines breaks a text at spaces into n lines of about equal width; fewer when it has
// fewer words.
func inLines(text string, n int) []string {
	words := apart(text)
	for width := 1; ; width++ {
		lines := wrapped(text, width)
		for i := range lines {
			lines[i] = strings.Trim(lines[i], " ")
		}
		if len(lines) <= n && len(apart(strings.Join(lines, " "))) == len(words) {
			return lines
		}
	}
}

// apart are the words between which a line may be broken: names and dates have
// spaces in them that stay (U+00A0).
func apart(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\t' || r == '\n' })
}

// Whole is a text that is never broken between its words.
func Whole(text string) string { return strings.ReplaceAll(text, " ", string(noBreak)) }

// noBreak is a space at which no line is broken.
const noBreak = '\u00a0'

// largestOf is the largest easy face in which all lines have room.
func largestOf(lines []string, width, rows int) (face, bool) {
	for _, f := range faces(rows) {
		fits := f.easy()
		for _, l := range lines {
			fits = fits && drawable(l) && f.width(l) <= width
		}
		if fits {
			return f, true
		}
	}
	return face{}, false
}

// above reports whether a face is easier to read from afar than g.
func (f face) above(g face) bool {
	switch {
	case f.tall != g.tall:
		return f.tall > g.tall
	case f.wide != g.wide:
		return f.wide > g.wide
	}
	return !f.tight && g.tight
}
