package rowcheck

import (
	"fmt"
	"regexp"
	"strings"
)

var (
	texts  = regexp.MustCompile(`\S+(?: \S+)*`)                          // set apart by two spaces and more
	word   = regexp.MustCompile(`^[a-z("][A-Za-z0-9'"-]*[)"]?[.,:;?]*$`) // the end of a text, no name in a table
	goesOn = regexp.MustCompile(`[^.?:…]$`)
)

// Alone is words that stand alone on the last line of a text: below a line of several words that begins in
// the same column, after a number too, and is no end of a sentence.
func Alone(body []string) (out []string) {
	for i := 1; i < len(body); i++ {
		for _, at := range texts.FindAllStringIndex(body[i], -1) {
			last, column := body[i][at[0]:at[1]], len([]rune(body[i][:at[0]]))
			if !word.MatchString(last) || column > 0 && cut(body[i-1], column-1, column) != " " {
				continue
			}
			above := texts.FindString(strings.TrimRight(cut(body[i-1], column, len(body[i-1])), " "))
			begins := strings.HasPrefix(cut(body[i-1], column, len(body[i-1])), above)
			if begins && strings.Count(above, " ") > 1 && goesOn.MatchString(above) && !way.MatchString(above) && !strings.ContainsAny(above, "─│") {
				out = append(out, fmt.Sprintf("%q alone below %q", last, above))
			}
		}
	}
	return out
}
