package style

import (
	"strings"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"
)

// Width is the width of a line in cells, as ansi.StringWidth, which searches for clusters of
// code points. Nearly all lines have none: each code point is one cell, with only colours
// (SGR) between them, and for these Width is faster.
func Width(line string) int {
	cells := 0
	for i := 0; i < len(line); {
		switch c := line[i]; {
		case c == '\x1b':
			n := sgr(line[i:])
			if n == 0 {
				return ansi.StringWidth(line)
			}
			i += n
		case ' ' <= c && c <= '~':
			cells++
			i++
		default:
			r, n := utf8.DecodeRuneInString(line[i:])
			if !single(r) {
				return ansi.StringWidth(line)
			}
			cells++
			i += n
		}
	}
	return cells
}

// sgr is the length of the escape sequence for colours that s begins with, 0
// when it begins with another one (ECMA-48 8.3.117).
func sgr(s string) int {
	if !strings.HasPrefix(s, "\x1b[") {
		return 0
	}
	for i := 2; i < len(s); i++ {
		switch c := s[i]; {
		case c == 'm':
			return i + 1
		case c != ';' && (c < '0' || c > '9'):
			return 0
		}
	}
	return 0
}

// single reports whether a code point is one cell wide: letters of Latin-1, dashes, quotes and dots
// (2010 to 2027), arrows, boxes, blocks and shapes (Unicode blocks 0080, 2190, 2500 to 25ff), but two.
// What could join it to a cluster is none of them.
func single(r rune) bool {
	return 0xa0 <= r && r <= 0xff && r != 0xad || 0x2010 <= r && r <= 0x2027 || 0x2190 <= r && r <= 0x21ff || 0x2500 <= r && r <= 0x25fc || r == 0x25ff
}
