package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// An item is one line to choose. Its digit is shown before it; -1 for none.
type item struct {
	digit int
	key   string // shown where the digit would be, of an item without one
	text  string
	far   string   // a short form, to be drawn large; empty for text
	name  string   // in fewer words still, for narrow pages; may be empty
	brief string   // in a word or two, to be drawn large beside others in a small window; empty for far
	asks  []string // drawn large when it is chosen, each shorter than the one before, where far would read as a verdict; may be empty
	sign  string   // four cells of colour before the text; may be empty
	quiet bool
}

// press is the key of the item.
func (it item) press() string {
	if it.key != "" {
		return it.key
	}
	return fmt.Sprint(it.digit)
}

// presses are the keys of items.
func presses(items []item) (out []string) {
	for _, it := range items {
		out = append(out, it.press())
	}
	return out
}

// A zone is where an item is on the page, for the mouse.
type zone struct{ x0, x1, y0, y1, item int }

// listed draws items in columns that begin at starts (the left edge alone if none is
// given), read downwards, in exactly width cells. Long texts are broken. at is the one
// chosen.
func listed(st style.Styles, items []item, at, width int, starts ...int) (lines []string, zones []zone) {
	if len(starts) == 0 {
		starts = []int{0}
	}
	rows := (len(items) + len(starts) - 1) / len(starts)
	ends := append(slices.Clone(starts[1:]), width)
	for col, x := range starts {
		y, next := 0, ends[col]
		for i := col * rows; i < min(len(items), (col+1)*rows); i++ {
			cells := items[i].cells(st, i == at, next-x)
			zones = append(zones, zone{x, next, y, y + len(cells), i})
			lines = append(lines, make([]string, max(0, y+len(cells)-len(lines)))...)
			for k, c := range cells {
				lines[y+k] = style.Cell(lines[y+k], x) + c
			}
			y += len(cells)
		}
	}
	for i := range lines {
		lines[i] = style.Cell(lines[i], width)
	}
	return lines, zones
}

// listedLarge is listed with the short name of each item in letters of size rows over its
// text, in one column of width cells; nil when it does not fit or an item has no short
// name.
func listedLarge(st style.Styles, items []item, at, width, rows, size int) (lines []string, zones []zone) {
	names := make([]string, len(items))
	for i, it := range items {
		if it.far == "" || it.digit < 0 && it.key == "" || style.Width(it.text) > width-3*edge {
			return nil, nil
		}
		names[i] = it.press() + " " + it.far
	}
	all, _ := digits.Keyed(width-3*edge, size, names)
	if all == nil || len(items)*(size+1) > rows+1 {
		return nil, nil
	}
	if len(items)*(size+3) > rows+1 { // letters and texts would touch
		if lines, zones = listedBeside(st, items, all, at, width); lines != nil {
			return lines, zones
		}
	}
	if len(items)*(size+2) > rows {
		return nil, nil
	}
	between := make([]string, min(1, (rows+1)/len(items)-size-2)) // letters and text, where there is room
	for i, it := range items {
		first := len(lines)
		lines = append(lines, lettered(st, all[i], i == at, width)...)
		if text := it.besideLetters(); text != "" {
			lines = append(append(lines, between...), style.Cell(strings.Repeat(" ", edge)+text, width))
		}
		zones = append(zones, zone{0, width, first, len(lines), i})
		lines = append(lines, style.Cell("", width))
	}
	return lines[:len(lines)-1], zones
}

// besideLetters is the text of an item whose short name is in large letters; none where that says it.
func (it item) besideLetters() string {
	if strings.EqualFold(it.text, it.far) {
		return ""
	}
	return it.text
}

// listedBeside is listedLarge with the text of each item at the right of its letters, in one column; nil
// where a text has no room there.
func listedBeside(st style.Styles, items []item, all [][]string, at, width int) (lines []string, zones []zone) {
	const gap, least = 4, 30 // cells
	wide := 0
	for _, large := range all {
		wide = max(wide, style.Width(large[0]))
	}
	column := edge + wide + gap
	if width-column-edge < least {
		return nil, nil
	}
	for i, it := range items {
		large, first := lettered(st, all[i], i == at, column), len(lines)
		text := style.Wrap(it.besideLetters(), width-column-edge)
		if len(text) > len(large) {
			return nil, nil
		}
		for k, t := range text {
			large[(len(large)-len(text)+1)/2+k] += t
		}
		for _, l := range large {
			lines = append(lines, style.Cell(l, width))
		}
		zones = append(zones, zone{0, width, first, len(lines), i})
		lines = append(lines, style.Cell("", width))
	}
	return lines[:len(lines)-1], zones
}

// cells draws an item as lines of exactly width cells.
func (it item) cells(st style.Styles, chosen bool, width int) []string {
	mark, digit := " ", "  "
	if chosen {
		mark = st.Accent.Render("▸")
	}
	if it.digit >= 0 {
		digit = st.Accent.Render(fmt.Sprint(it.digit)) + " "
	}
	if it.key != "" {
		digit = st.Accent.Render(it.key) + " "
	}
	sign := it.sign
	if sign != "" {
		sign += " "
	}
	indent := it.indent()
	var out []string
	for i, l := range style.Wrap(it.text, width-indent-edge) {
		switch {
		case chosen:
			l = st.Strong.Render(l)
		case it.quiet:
			l = st.Quiet.Render(l)
		}
		if i == 0 {
			out = append(out, style.Cell(mark+" "+digit+sign+l, width))
		} else {
			out = append(out, style.Cell(strings.Repeat(" ", indent)+l, width))
		}
	}
	return out
}

// apart is a list in one column with an empty row between items.
func apart(lines []string, zones []zone) (out []string, moved []zone) {
	for i, z := range zones {
		if i > 0 {
			out = append(out, "")
		}
		moved = append(moved, zone{z.x0, z.x1, len(out), len(out) + z.y1 - z.y0, z.item})
		out = append(out, lines[z.y0:z.y1]...)
	}
	return out, moved
}

// width is the width of an item on one line, in cells.
func (it item) width() int {
	return it.indent() + ansi.StringWidth(it.text) + edge
}

// indent is the column at which the text of an item begins.
func (it item) indent() int {
	if it.sign == "" {
		return 4
	}
	return 4 + ansi.StringWidth(it.sign) + 1
}

// listedTight is listed with items on letters, of which there are four or more, in two
// columns as far as they are short enough. Numbered ones stay in one order below another.
func listedTight(st style.Styles, items []item, at, width int) (lines []string, zones []zone) {
	letters := slices.IndexFunc(items, func(it item) bool { return it.press() <= "9" })
	if letters < 0 {
		letters = len(items)
	}
	if letters < 5 { // they are read one below another
		letters = 0
	}
	short, second := sideBySide(items[:letters], width)
	lines, zones = listed(st, items[:short], at, width, 0, second)
	rest, z := listed(st, items[short:], at-short, width)
	for _, z := range down(z, len(lines)) {
		z.item += short
		zones = append(zones, z)
	}
	return append(lines, rest...), zones
}

// listedPaired is listed with all items in two columns, read downwards, for low pages, and in three
// from nine items on where they have room: a text that is too long for its column gives way to its
// short form; nil where one has no room then.
func listedPaired(st style.Styles, items []item, at, width int) (lines []string, zones []zone) {
	brief := make([]item, len(items))
	for i, it := range items {
		brief[i] = it
		if brief[i].text = it.far; it.far == "" {
			brief[i].text = beforePause(it.text)
		}
	}
	if third := (len(items) + 2) / 3; len(items) > 8 {
		second := widestOf(items[:third])
		last := second + widestOf(items[third:2*third])
		if last+widestOf(items[2*third:]) <= width {
			return listed(st, items, at, width, 0, second, last)
		}
	}
	half := (len(items) + 1) / 2
	second := min(width-widestOf(brief[half:]), widestOf(items[:half]))
	if widestOf(brief[:half]) > second {
		return nil, nil
	}
	for i, it := range items {
		room := second
		if i >= half {
			room = width - second
		}
		if it.width() <= room {
			brief[i] = it
		}
	}
	return listed(st, brief, at, width, 0, second)
}

// listedColumns is listed in as few rows as up to four columns allow, read downwards; nil where even two
// have no room.
func listedColumns(st style.Styles, items []item, at, width int) (lines []string, zones []zone) {
	for n := 4; n > 1; n-- {
		rows, starts, x := (len(items)+n-1)/n, []int(nil), 0
		for from := 0; from < len(items); from += rows {
			starts, x = append(starts, x), x+widestOf(items[from:min(from+rows, len(items))])
		}
		if x <= width {
			return listed(st, items, at, width, starts...)
		}
	}
	return nil, nil
}

// widestOf is the width of the widest of items.
func widestOf(items []item) (w int) {
	for _, it := range items {
		w = max(w, it.width())
	}
	return w
}

// sideBySide is the number of first items that fit in two columns, 0 or at least four,
// and the column at which the second one begins: in the middle, or further right if all
// items fit then or the page is narrow.
func sideBySide(items []item, width int) (short, second int) {
	for _, even := range []bool{true, false} {
		for n := len(items) - len(items)%2; n >= 4; n -= 2 {
			first, rest := widestOf(items[:n/2]), widestOf(items[n/2:n])
			switch {
			case even && n == len(items) && first+rest <= width:
				return n, max(first, min(width/2, width-rest))
			case even && max(first, rest) <= width/2:
				return n, width / 2
			case !even && width < narrow && first+rest <= width:
				return n, first
			}
		}
	}
	return 0, 0
}

// down moves zones by rows.
func down(zones []zone, rows int) []zone {
	out := make([]zone, len(zones))
	for i, z := range zones {
		out[i] = zone{z.x0, z.x1, z.y0 + rows, z.y1 + rows, z.item}
	}
	return out
}

// scrolled cuts lines to the page, from line at on, and says in the last row that there are
// more below. Where all of them fit, empty rows set its parts apart.
func scrolled(st style.Styles, lines []string, where cuts, at scroll, width, height int) []string {
	if len(lines)+len(where.airy) <= height {
		lines = where.aired(lines)
	}
	top := max(0, min(int(at), len(lines)-height))
	if shown := lines[top:]; len(shown) <= height || height < 2 {
		return style.FitLines(strings.Join(shown, "\n"), width, height)
	}
	room := height - 1
	if height >= leastApart || where.apart { // an empty row before the note
		room--
	}
	above := slices.Clone(lines[top : top+where.end(lines, top, room)])
	if len(above)+1 < height && !style.Blank(above[len(above)-1]) {
		above = append(above, "")
	}
	return style.FitLines(strings.Join(append(above, leftEdge(lines)+st.Quiet.Render("… more below: ")+st.Accent.Render("↓")), "\n"), width, height)
}

// leftEdge is what all lines of a text begin with: the edge of the page, or nothing in a column of its own.
func leftEdge(lines []string) string {
	for _, l := range lines {
		if !style.Blank(l) && !strings.HasPrefix(l, "  ") {
			return ""
		}
	}
	return "  "
}

// leastApart is the least height of a text whose note that more follows always has an empty row before it:
// a lower one needs the row to name what is to be tried.
const leastApart = 10

// end is how many of at most room lines from top on a page shows: up to where something ends,
// if that leaves half of the page, or at an empty row or a sentence's end, if that leaves two
// thirds.
func (c cuts) end(lines []string, top, room int) int {
	half, most := max(1, (room+1)/2), max(1, (2*room+2)/3)
	for n := room; n >= half; n-- {
		empty := style.Blank(lines[top+n]) || style.Blank(lines[top+n-1])
		if c.before[top+n] || empty && n >= most {
			for n > 1 && style.Blank(lines[top+n-1]) {
				n--
			}
			return n
		}
	}
	for _, ends := range []string{".?", ":;"} {
		for n := room; n >= half; n-- {
			if text := strings.TrimRight(ansi.Strip(lines[top+n-1]), " "); text != "" && strings.Contains(ends, text[len(text)-1:]) {
				return n
			}
		}
	}
	return room
}

// aired is lines with the empty rows that set its parts apart.
func (c cuts) aired(lines []string) (out []string) {
	for i, l := range lines {
		if c.airy[i] {
			out = append(out, "")
		}
		out = append(out, l)
	}
	return out
}
