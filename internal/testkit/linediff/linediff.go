// Package linediff compares texts line by line, for tests of edits.
package linediff

import "strings"

// A Line is a line of a comparison: kept (' '), removed ('-') or added ('+').
// Line counts from 1 in the new text, for '-' in the old one.
type Line struct {
	Op   byte
	Line int
	Text string
}

// maxTable limits the cells of the comparison table. For longer texts all lines
// between the common start and end count as changed.
const maxTable = 4_000_000

// Compare compares two texts with the fewest changes and returns all lines, kept
// ones included.
func Compare(old, new string) []Line {
	a, b := splitLines(old), splitLines(new)
	head := 0
	for head < len(a) && head < len(b) && a[head] == b[head] {
		head++
	}
	tail := 0
	for tail < len(a)-head && tail < len(b)-head && a[len(a)-1-tail] == b[len(b)-1-tail] {
		tail++
	}
	var out []Line
	for i := range head {
		out = append(out, Line{' ', i + 1, b[i]})
	}
	out = append(out, diffMiddle(a[head:len(a)-tail], b[head:len(b)-tail], head)...)
	for i := len(b) - tail; i < len(b); i++ {
		out = append(out, Line{' ', i + 1, b[i]})
	}
	return out
}

func splitLines(s string) []string {
	if s == "" {
		return nil
	}
	lines := strings.Split(strings.TrimSuffix(s, "\n"), "\n")
	for i := range lines {
		lines[i] = strings.TrimSuffix(lines[i], "\r")
	}
	return lines
}

// diffMiddle compares by a table of longest common subsequences of the remainders.
func diffMiddle(a, b []string, head int) []Line {
	var rest [][]int
	if len(a)*len(b) <= maxTable {
		rest = commonRests(a, b)
	}
	var out []Line
	i, j := 0, 0
	for i < len(a) || j < len(b) {
		switch {
		case rest != nil && i < len(a) && j < len(b) && a[i] == b[j]:
			out = append(out, Line{' ', head + j + 1, b[j]})
			i, j = i+1, j+1
		case i < len(a) && (rest == nil || j == len(b) || rest[i+1][j] >= rest[i][j+1]):
			out = append(out, Line{'-', head + i + 1, a[i]})
			i++
		default:
			out = append(out, Line{'+', head + j + 1, b[j]})
			j++
		}
	}
	return out
}

func commonRests(a, b []string) [][]int {
	rest := make([][]int, len(a)+1)
	for i := range rest {
		rest[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			rest[i][j] = max(rest[i+1][j], rest[i][j+1])
			if a[i] == b[j] {
				rest[i][j] = rest[i+1][j+1] + 1
			}
		}
	}
	return rest
}
