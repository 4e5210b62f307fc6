package record

import (
	"strings"
	"unicode"
)

// plain makes a text safe for one line on a terminal, a page or a picture. Line ends
// and tabs become spaces. Other control characters, which XML forbids and terminals
// execute, are removed, and so are the characters that change the reading direction
// (Unicode 15, table 4-1: explicit directional formatting).
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\r' || r == '\t':
			return ' '
		case unicode.IsControl(r), r == 0xfffe, r == 0xffff, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069:
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
}
