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

// mostHigh is the largest face of two lines or fewer, in rows: letters of a larger one would be much
// higher than wide.
const mostHigh = 4 * digits.Rows

// Stack is one of some texts as lines in one face, each with an empty row before it: the one in the
// largest face that has room, of two the first; nil when none has.
func Stack(st style.Styles, width, rows int, texts ...[]string) []string {
	for size := 5 * digits.Rows; size >= digits.Rows; size -= digits.Rows {
		for _, lines := range texts {
			if len(lines)*(size+1) > rows || len(lines) < 3 && size > mostHigh {
				continue
			}
			if large, keys := digits.AlikeKeys(width, size, capitals(lines)...); large != nil {
				return stacked(st, lines, large, keys)
			}
		}
	}
	return nil
}

func capitals(lines []string) []string {
	out := make([]string, len(lines))
	for i, l := range lines {
		out[i] = strings.ToUpper(l)
	}
	return out
}

// stacked are large lines with an empty row before each. A first word that ends in a colon is a key, of so
// many cells, and has the colour of keys.
func stacked(st style.Styles, texts []string, large [][]string, keys []int) (out []string) {
	for i, lines := range large {
		out = append(out, "")
		n := 0
		if first, _, _ := strings.Cut(texts[i], " "); strings.HasSuffix(first, ":") {
			n = keys[i]
		}
		for _, l := range lines {
			cells := []rune(l)
			out = append(out, st.AccentSign().Render(string(cells[:n]))+st.Strong.Render(string(cells[n:])))
		}
	}
	return out
}
