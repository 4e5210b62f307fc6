package portrait

import (
	"slices"
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
	return belowRow(st, large)
}

// belowRow are large letters with an empty row before them.
func belowRow(st style.Styles, large []string) []string {
	out := []string{""}
	for _, l := range large {
		out = append(out, st.Strong.Render(l))
	}
	return out
}

// The largest faces, in rows: MostHigh that of two lines or fewer, letters of a larger one would be much
// higher than wide; MostStacked that of more.
const (
	MostHigh    = 4 * digits.Rows
	MostStacked = 5 * digits.Rows
)

// Stack is one of some texts as lines in one face, at most so high, each with an empty row before it: the one
// in the highest face that has room, of two the first that is easy to read in it; nil when none has.
func Stack(st style.Styles, width, rows, most int, texts ...[]string) []string {
	for size := most / digits.Rows * digits.Rows; size >= digits.Rows; size -= digits.Rows {
		low := slices.DeleteFunc(slices.Clone(texts), func(lines []string) bool { return len(lines)*(size+1) > rows })
		easy := func(lines []string) bool { return digits.Easy(width, size, capitals(lines)...) }
		if at := slices.IndexFunc(low, easy); at > 0 {
			low = low[at:]
		}
		for _, lines := range low {
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
		if first, _ := digits.CutKey(texts[i]); strings.HasSuffix(first, ":") {
			n = keys[i]
		}
		for _, l := range lines {
			cells := []rune(l)
			out = append(out, st.AccentSign().Render(string(cells[:n]))+st.Strong.Render(string(cells[n:])))
		}
	}
	return out
}
