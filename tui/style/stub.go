package style

import (
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// The last line of a text has at least a third of the width, or a quarter where the line
// before it would be left with less than fullShare of the width.
const (
	leastShare = 3
	fewShare   = 4
	fullShare  = 0.75
)

// withoutStub breaks a text at spaces into as few lines as width allows. If the last line is
// a stub, words of the line before are moved to it or, if that made a stub of that line, all
// lines are made shorter. A text that allows neither keeps its stub, but no word stands alone on its last
// line where another one has room there.
func withoutStub(text string, width int) []string {
	lines := broken(text, width)
	if !endsInStub(lines, width) || nearlyEnough(lines, width) {
		return lines
	}
	if out := joined(lines, width); out != nil {
		return out
	}
	const narrowest = 2 // thirds of the width: still a paragraph
	for w := width - 1; w >= narrowest*width/3; w-- {
		out := broken(text, w)
		if len(out) != len(lines) {
			break
		}
		if !endsInStub(out, width) && severalWords(out[len(out)-2]) {
			return out
		}
	}
	return withoutLoneWord(lines, width)
}

// withoutLoneWord moves the last word of the line before to a last line of one word, if that line keeps
// one itself.
func withoutLoneWord(lines []string, width int) []string {
	n := len(lines)
	before, last := strings.TrimRight(lines[n-2], " "), lines[n-1]
	i := strings.LastIndex(before, " ")
	if i < 0 || severalWords(last) || ansi.StringWidth(before[i+1:])+1+ansi.StringWidth(last) > width {
		return lines
	}
	return append(lines[:n-2:n-2], strings.TrimRight(before[:i], " "), before[i+1:]+" "+last)
}

func broken(text string, width int) []string {
	return strings.Split(ansi.Wordwrap(text, width, " "), "\n")
}

// endsInStub reports whether the last of several lines is one word, or shorter than a
// third of the width.
func endsInStub(lines []string, width int) bool {
	last := lines[len(lines)-1]
	return len(lines) > 1 && last != "" && (!severalWords(last) || ansi.StringWidth(last) < width/leastShare)
}

// nearlyEnough reports whether the last line has two words and a quarter of the width, and one
// word more would leave the line before it too short.
func nearlyEnough(lines []string, width int) bool {
	n := len(lines)
	before, last := strings.TrimRight(lines[n-2], " "), lines[n-1]
	i := strings.LastIndex(before, " ")
	return severalWords(last) && ansi.StringWidth(last) >= width/fewShare && (i < 0 || float64(ansi.StringWidth(before[:i])) < fullShare*float64(width))
}

// severalWords reports whether a line has several words.
func severalWords(line string) bool { return strings.Contains(strings.TrimSpace(line), " ") }

// joined moves words of the line before to the last one until that is no stub; nil when the
// line before would become one.
func joined(lines []string, width int) []string {
	n := len(lines)
	before, last := strings.TrimRight(lines[n-2], " "), lines[n-1]
	for {
		i := strings.LastIndex(before, " ")
		if i < 0 || !severalWords(before[:i]) {
			return nil
		}
		before, last = strings.TrimRight(before[:i], " "), before[i+1:]+" "+last
		out := append(lines[:n-2:n-2], before, last)
		switch {
		case ansi.StringWidth(last) > width:
			return nil
		case !endsInStub(out, width), nearlyEnough(out, width):
			return out
		}
	}
}
