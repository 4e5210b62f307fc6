// Package rowcheck judges the rows of a page for tests of screens: empty rows between
// things, and what is hidden below while rows are free.
//
// Pages are judged without colours: then only large letters are made of block elements
// (Unicode chart U+2580), beside the bars of a chart.
package rowcheck

import (
	"fmt"
	"regexp"
	"strings"
)

var (
	blocks = regexp.MustCompile("[▌▐▙▟▛▜█▀▄▖▗▘▝▚▞]")
	bars   = regexp.MustCompile("[▁▂▃▅▆▇]|V█")                         // a chart's: eighths, or at a number of volts
	sgr    = regexp.MustCompile("\x1b\\[[0-9;:]*m")                    // ECMA-48 8.3.117
	ground = regexp.MustCompile("\x1b\\[([0-9;]*;)?4[08](;[0-9;]*)?m") // a background (ECMA-48 8.3.117)
	more   = regexp.MustCompile(`… (\d+ )?more( below|: enter|$)`)
)

// Large reports whether a line has large letters.
func Large(line string) bool { return blocks.MatchString(line) && !bars.MatchString(line) }

func empty(line string) bool { return strings.TrimSpace(line) == "" }

// touches reports whether a large letter of one line has a sign that is none in the same
// cell of the line next to it. Drawings beside large letters do not touch them.
func touches(large, next string) bool {
	if !Large(large) {
		return false
	}
	beside := []rune(next)
	for i, r := range []rune(large) {
		if i < len(beside) && isBlock(r) && beside[i] != ' ' && !isBlock(beside[i]) {
			return true
		}
	}
	return false
}

func isBlock(r rune) bool { return blocks.MatchString(string(r)) }

// longest is the longest stretch of rows that are all margin or all not.
func longest(margin []bool) (most int) {
	n := 0
	for i := range margin {
		if n++; i > 0 && margin[i] != margin[i-1] {
			n = 1
		}
		most = max(most, n)
	}
	return most
}

// mostFree is the most rows that are free below a note that more follow: a heading that would stand there
// alone and the empty row before it are below.
const mostFree = 2

// Faults are what is wrong with the rows of a page between its line of pages and the lines
// at its foot. spare is how many empty rows may stand last: one where a foot follows.
// An empty row of a drawing's ground is its margin, and the empty row next to it a gap of its own.
func Faults(body []string, spare int) (out []string) {
	margin := make([]bool, len(body))
	for i, l := range body {
		margin[i] = ground.MatchString(l)
		body[i] = sgr.ReplaceAllString(l, "")
	}
	end := len(body)
	for end > 0 && empty(body[end-1]) {
		end--
	}
	free := len(body) - end - spare
	last := -1 // the last row that is not empty
	for i, l := range body[:end] {
		if empty(l) {
			continue
		}
		if gap := longest(margin[last+1 : i]); gap > 1 {
			out = append(out, fmt.Sprintf("%d empty rows above %q", gap, strings.TrimSpace(l)))
		}
		if free > 0 && last == i-1 && last >= 0 && (touches(body[last], l) || touches(l, body[last])) {
			out = append(out, fmt.Sprintf("%d rows are free, none between %q and %q", free, strings.TrimSpace(body[last]), strings.TrimSpace(l)))
		}
		last = i
	}
	if last >= 0 && free > mostFree && more.MatchString(strings.TrimRight(body[last], " ")) {
		out = append(out, fmt.Sprintf("%d rows are free below %q", free, strings.TrimSpace(body[last])))
	}
	return out
}
