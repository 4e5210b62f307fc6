package portrait

import (
	"strings"
	"unicode"

	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// Block is Words over as many lines as make them largest, for a page whose lower half is
// free: an empty row, then at most rows; nil when no text fits.
func Block(st style.Styles, width, rows int, texts ...string) []string {
	rows--
	if rows < digits.Rows || len(texts) == 0 {
		return nil
	}
	if !digits.Reads(width, rows, texts...) {
		return nil
	}
	large := digits.Block(width, rows, texts...)
	if strings.ContainsFunc(strings.Join(large, ""), unicode.IsLetter) || len(large) > rows {
		return nil // plain capitals add nothing to the page
	}
	out := []string{""}
	for _, l := range large {
		out = append(out, st.Strong.Render(l))
	}
	return out
}
