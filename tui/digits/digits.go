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
