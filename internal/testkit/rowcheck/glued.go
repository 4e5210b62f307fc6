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

// leastRows is the rows of a page from which on things that belong together stand apart too: a lower
// one needs the rows for what is to be read first.
const leastRows = 18

// Glued is what lies on the next thing of a page without colours: a legend on its drawing, the note that
// more follows on the text above it.
func Glued(body []string) (out []string) {
	if len(body) < leastRows {
		return nil
	}
	for i, l := range body {
		if note := lastMore.FindString(l); i > 0 && note != "" && !empty(cut(body[i-1], 0, len([]rune(note)))) {
			out = append(out, fmt.Sprintf("no empty row above %q", strings.TrimSpace(note)))
		}
		if at := way.FindStringIndex(l); at != nil {
			out = append(out, onDrawing(body[i:], at)...)
		}
	}
	return out
}

// onDrawing is the fault of a legend, a part of whose first row is at some place, that a row of marks follows.
func onDrawing(body []string, at []int) []string {
	l := body[0]
	from, to := 0, len(l)
	for _, g := range gap.FindAllStringIndex(l, -1) {
		if g[1] <= at[0] {
			from = g[1]
		} else if g[0] >= at[1] {
			to = min(to, g[0])
		}
	}
	first, after := len([]rune(l[:from])), len([]rune(l[:to]))
	for i := 1; i < len(body); i++ {
		switch below := cut(body[i], first, after); {
		case empty(strings.ReplaceAll(below, "│", "")):
			return nil
		case !named.MatchString(below):
			return []string{fmt.Sprintf("no empty row between %q and %q", strings.TrimSpace(cut(body[i-1], first, after)), strings.TrimSpace(below))}
		}
	}
	return nil
}

// cut is the cells of a line in some columns.
func cut(line string, first, after int) string {
	cells := []rune(line)
	return string(cells[min(first, len(cells)):min(after, len(cells))])
}
