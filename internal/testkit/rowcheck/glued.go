package rowcheck

import (
	"fmt"
	"regexp"
	"strings"
)

var (
	way      = regexp.MustCompile(`[▶▲▼◀] (data in|in)\b`) // stands in every legend of a drawing
	gap      = regexp.MustCompile(` {3,}`)                 // between a text and a drawing beside it
	named    = regexp.MustCompile(`[a-z]{3,}|[a-z]=`)      // what a row of a legend has and a row of marks has not
	lastMore = regexp.MustCompile(`^ *… (\d+ )?more below`)
)

// Rows of a page from which on a note that more follows is judged, and from which on a legend never lies on its
// drawing. On a lower one it may where at most one row is free: the drawing keeps its place from question to
// question, and some of them need that row.
const (
	leastNoted = 10
	leastRows  = 18
)

// Glued is what lies on the next thing of a page without colours, or is more than one row above it: a legend and its
// drawing; and the note that more follows where it lies on the text above it. spare is how many empty rows may
// stand last.
func Glued(body []string, spare int) (out []string) {
	free := -spare
	for i := len(body) - 1; i >= 0 && empty(body[i]); i-- {
		free++
	}
	full := len(body) < leastRows && free < 2
	for i, l := range body {
		if note := lastMore.FindString(l); i > 0 && len(body) >= leastNoted && note != "" && !empty(cut(body[i-1], 0, len([]rune(note)))) {
			out = append(out, fmt.Sprintf("no empty row above %q", strings.TrimSpace(note)))
		}
		if at := way.FindStringIndex(l); at != nil {
			out = append(out, onDrawing(body[i:], at, full)...)
		}
	}
	return out
}

// onDrawing is the fault of a legend, a part of whose first row is at some place: a row of marks follows it, unless
// the page is full, or more than one empty row.
func onDrawing(body []string, at []int, full bool) []string {
	l := body[0]
	from, to, beside := 0, len(l), 1<<20 // beside is where a text at the right begins
	for _, g := range gap.FindAllStringIndex(l, -1) {
		if g[1] <= at[0] {
			from = g[1]
		} else if g[0] >= at[1] && g[0] < to {
			to, beside = g[0], len([]rune(l[:g[1]]))
		}
	}
	first, after := len([]rune(l[:from])), len([]rune(l[:to]))
	for i := 1; i < len(body); i++ {
		switch below := cut(body[i], first, after); {
		case empty(strings.ReplaceAll(below, "│", "")):
			return farBelow(body[i:], first, beside)
		case !named.MatchString(below) && full:
			return nil
		case !named.MatchString(below):
			return []string{fmt.Sprintf("no empty row between %q and %q", strings.TrimSpace(cut(body[i-1], first, after)), strings.TrimSpace(below))}
		}
	}
	return nil
}

// farBelow is the fault of a drawing that begins below more than one empty row of its columns.
func farBelow(body []string, first, after int) []string {
	for i, l := range body {
		below := strings.ReplaceAll(cut(l, first, after), "│", "")
		switch {
		case empty(below):
			continue
		case i > 1 && !named.MatchString(below):
			return []string{fmt.Sprintf("%d empty rows above the drawing %q", i, strings.TrimSpace(below))}
		}
		return nil
	}
	return nil
}

// cut is the cells of a line in some columns.
func cut(line string, first, after int) string {
	cells := []rune(line)
	return string(cells[min(first, len(cells)):min(after, len(cells))])
}
