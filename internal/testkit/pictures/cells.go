package main

import (
	"strconv"
	"strings"
)

// A cell is one character cell of a terminal.
type cell struct {
	r                  rune
	fore, back         string // "" for the default colour, an index 0 to 255, or #rrggbb
	bold, faint, under bool
	reverse            bool
}

// cells parses a capture into lines of cells.
func cells(text string) [][]cell {
	var grid [][]cell
	var now cell
	for _, line := range strings.Split(text, "\n") {
		var row []cell
		for line != "" {
			if end := strings.IndexByte(line, 'm'); strings.HasPrefix(line, "\x1b[") && end > 0 {
				now.sgr(strings.Split(line[2:end], ";"))
				line = line[end+1:]
				continue
			}
			for _, r := range line { // the first rune
				c := now
				c.r = r
				row = append(row, c)
				line = line[len(string(r)):]
				break
			}
		}
		grid = append(grid, row)
	}
	return grid
}

// sgr applies one SGR sequence (ECMA-48 8.3.117; 38 and 48 from ISO 8613-6).
func (c *cell) sgr(params []string) {
	for i := 0; i < len(params); i++ {
		n, _ := strconv.Atoi(params[i])
		switch {
		case n == 0:
			*c = cell{}
		case n == 1:
			c.bold = true
		case n == 2:
			c.faint = true
		case n == 4:
			c.under = true
		case n == 7:
			c.reverse = true
		case n == 22:
			c.bold, c.faint = false, false
		case n == 24:
			c.under = false
		case n == 27:
			c.reverse = false
		case n == 38, n == 48:
			var colour string
			colour, i = extended(params, i)
			if n == 38 {
				c.fore = colour
			} else {
				c.back = colour
			}
		default:
			c.plain(n)
		}
	}
}

// extended returns the colour that follows 38 or 48, and the index of the last
// parameter it uses.
func extended(params []string, i int) (string, int) {
	switch {
	case i+2 < len(params) && params[i+1] == "5":
		return params[i+2], i + 2
	case i+4 < len(params) && params[i+1] == "2":
		hex := "#"
		for _, p := range params[i+2 : i+5] {
			v, _ := strconv.Atoi(p)
			hex += string("0123456789abcdef"[v>>4&15]) + string("0123456789abcdef"[v&15])
		}
		return hex, i + 4
	}
	return "", i
}

// plain sets one of the sixteen colours, or the default with 39 or 49.
func (c *cell) plain(n int) {
	switch {
	case n == 39:
		c.fore = ""
	case n == 49:
		c.back = ""
	case n >= 30 && n <= 37:
		c.fore = strconv.Itoa(n - 30)
	case n >= 90 && n <= 97:
		c.fore = strconv.Itoa(n - 90 + 8)
	case n >= 40 && n <= 47:
		c.back = strconv.Itoa(n - 40)
	case n >= 100 && n <= 107:
		c.back = strconv.Itoa(n - 100 + 8)
	}
}
