package style

import (
	"strings"
	"unicode"
)

// Clean removes characters with an effect on the terminal from text that came from outside:
// control characters and marks of the reading direction.
func Clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == unicode.ReplacementChar {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
}
