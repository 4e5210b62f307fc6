package digits

import (
	"slices"
	"strings"
	"unicode/utf8"
)

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
