package prop

import (
	"fmt"
	"sort"
	"strings"
)

// A Problem is one thing wrong in a prop file.
type Problem struct {
	File string
	Line int    // from 1; 0 when it concerns the whole file
	Key  string // "run 2, length"; empty when no key is at fault
	Text string // what is wrong
	Hint string // what to do
}

// Error is one sentence: where, what, what to do.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, " line %d", p.Line)
	}
	b.WriteString(": ")
	if p.Key != "" {
		b.WriteString(p.Key + ": ")
	}
	b.WriteString(p.Text)
	if p.Hint != "" {
		b.WriteString(": " + p.Hint)
	}
	return b.String()
}

// Problems are all the errors of a file, by line.
type Problems []Problem

// Error lists them, one per line.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap lets errors.As find a single Problem.
func (ps Problems) Unwrap() []error {
	out := make([]error, len(ps))
	for i, p := range ps {
		out[i] = p
	}
	return out
}

func (ps Problems) byLine() Problems {
	sort.SliceStable(ps, func(i, j int) bool { return ps[i].Line < ps[j].Line })
	return ps
}

// nearest is the known word closest to the given one; empty when none is close.
func nearest(word string, known []string) string {
	best, at := "", max(1, min(3, len(word)/2))+1
	for _, k := range known {
		if d := editDistance(strings.ToLower(word), strings.ToLower(k)); d < at {
			best, at = k, d
		}
	}
	return best
}

// editDistance counts the letters to insert, delete, change or swap with a neighbour.
func editDistance(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > 40 || len(y) > 40 {
		return 40
	}
	d := make([][]int, len(x)+1)
	for i := range d {
		d[i] = make([]int, len(y)+1)
		d[i][0] = i
	}
	for j := range d[0] {
		d[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, d[i-1][j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(x)][len(y)]
}
