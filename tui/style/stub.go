package style

import (
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// A short last line has less than leastShare of the width; the line before it gives a word to it if
// fullShare of the width is left.
const (
	leastShare = 1. / 3
	fullShare  = 3. / 4
)

// raggedShare is the part of the line below it that a line has at least after it gave a word away.
const raggedShare = 1. / 2

// withoutStub breaks a text at spaces into as few lines as width allows. A last line of one word, or
// a short one, gets the last word of the line before, no more. If that made a stub of the line
// before, all lines are made shorter; a text that does not allow that either keeps its stub.
func withoutStub(text string, width int) []string {
	lines := broken(text, width)
	n := len(lines)
	if n < 2 || lines[n-1] == "" {
		return lines
	}
	lone := !severalWords(lines[n-1])
	if !lone && wide(lines[n-1]) >= leastShare*float64(width) {
		return lines
	}
	out := withOneWord(lines)
	switch {
	case wide(out[n-1]) > float64(width):
		return lines
	case !lone && wide(out[n-2]) < fullShare*float64(width):
		return lines
	case !lone || !ragged(out):
		return out
	}
	return shorter(text, lines, width)
}

// withOneWord are lines of which the last has got the last word of the line before.
func withOneWord(lines []string) []string {
	n := len(lines)
	before, last := strings.TrimRight(lines[n-2], " "), lines[n-1]
	i := max(0, strings.LastIndex(before, " "))
	return append(lines[:n-2:n-2], strings.TrimRight(before[:i], " "), strings.TrimLeft(before[i:], " ")+" "+last)
}

// shorter are as many lines as those, each in less width so that the last one has a second word; those
// where none is.
func shorter(text string, lines []string, width int) []string {
	const narrowest = 2 // thirds of the width: still a paragraph
	for w := width - 1; w >= narrowest*width/3; w-- {
		out := broken(text, w)
		if len(out) != len(lines) {
			break
		}
		if severalWords(out[len(out)-1]) && !ragged(out) {
			return out
		}
	}
	return lines
}

func broken(text string, width int) []string {
	return strings.Split(ansi.Wordwrap(text, width, " "), "\n")
}

// ragged reports whether the line before the last is much shorter than it.
func ragged(lines []string) bool {
	n := len(lines)
	return wide(lines[n-2]) < raggedShare*wide(lines[n-1])
}

func wide(line string) float64 { return float64(ansi.StringWidth(line)) }

// severalWords reports whether a line has several words: some are kept together by a space of their own.
func severalWords(line string) bool {
	return strings.ContainsAny(strings.TrimSpace(line), " "+noBreak)
}
