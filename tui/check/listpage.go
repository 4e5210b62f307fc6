package check

import (
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// A lister draws a page with a list whose items are size rows high, 0 for plain ones. It
// returns nil when they do not fit.
type lister func(size int) ([]string, []zone)

// mostListed is the largest height of the items of a list, in rows.
const mostListed = 2 * digits.Rows

// largest is the page of a list with the largest letters that fit: for all items, or for
// the chosen one below the list.
func largest(st style.Styles, items []item, chosen, width, height int, draw lister) ([]string, []zone) {
	lines, zones := draw(0)
	lines = style.WithoutEnd(lines)
	words := chosenWords(st, items, chosen, width, height-len(lines))
	for size := mostListed; size >= max(digits.Rows, lettersOf(words)); size -= digits.Rows {
		if all, z := draw(size); all != nil {
			return all, z
		}
	}
	return append(lines, style.Indent(words, edge)...), zones
}

// lettersOf is how many rows the letters of large words have.
func lettersOf(words []string) (rows int) {
	for _, l := range words[min(1, len(words)):] { // they begin with an empty row
		if style.Blank(l) {
			break
		}
		rows++
	}
	return rows
}

// beforeLast is where the last two words of a text begin, or the last of two, with the space before them; 0
// where there are none before.
func beforeLast(text string) int {
	last := strings.LastIndex(text, " ")
	if i := strings.LastIndex(text[:max(0, last)], " "); i > 0 {
		return i
	}
	return max(0, last)
}

// chosenWords is the chosen item in large letters; nil when none is chosen or they do not
// fit.
func chosenWords(st style.Styles, items []item, chosen, width, height int) []string {
	if chosen < 0 || chosen >= len(items) {
		return nil
	}
	it := items[chosen]
	const twoLines = 2*mostListed + 1
	most := min(height, max(twoLines, 2*height/3)+1)
	if len(it.asks) > 0 {
		return portrait.Block(st, width-2*edge, most, it.asks...)
	}
	lines := portrait.Block(st, width-2*edge, most, it.far)
	if i := beforeLast(it.far); i > 0 { // the last two words may make the letters larger in a line of their own
		if two := portrait.Stack(st, width-2*edge, most, portrait.MostHigh, []string{it.far[:i], it.far[i+1:]}); lettersOf(two) > lettersOf(lines) {
			lines = two
		}
	}
	if lines != nil || it.name == "" {
		return lines
	}
	return portrait.Words(st, width-2*edge, min(height, digits.Rows+1), it.name) // no larger than the full text is elsewhere
}

// titledBesideProp is a list under a title, with the prop that it is about.
func (m Model) titledBesideProp(title string, items []item, chosen, width, height int) ([]string, []zone) {
	return m.besideProp(m.of.sub, items, chosen, width, height, func(left, size int) ([]string, []zone) {
		return titled(m.style, title, items, chosen, left, height, size)
	})
}

// besideProp is a list with the prop at its right, or below it on a narrow page.
func (m Model) besideProp(p *prop.Prop, items []item, chosen, width, height int, list func(left, size int) ([]string, []zone)) ([]string, []zone) {
	left := width
	beside := width >= 120 && p != nil
	if beside {
		left = min(m.drawingBox().col-portrait.Gap, max(width/2, min(chooser{items: items}.widest(), width*3/5)))
	}
	lines, zones := largest(m.style, items, chosen, left, height, func(size int) ([]string, []zone) { return list(left, size) })
	if beside {
		return m.besideText(p, lines, left), zones
	}
	if below := m.draw.start.Lines(m.style, p, width-2*edge, height-len(lines)-1); below != nil {
		lines = append(append(lines, ""), style.Indent(below, edge)...)
	}
	return lines, zones
}

// titled is a list under a title, with the chosen line in sight, its items size rows
// high; nil where they have no room.
func titled(st style.Styles, title string, items []item, chosen, width, height, size int) (lines []string, zones []zone) {
	for _, l := range style.Wrap(title, width-4) {
		lines = append(lines, "  "+st.AccentSign().Render(l))
	}
	lines = append(lines, "")
	l, z := listedLarge(st, items, chosen, width, height-len(lines), size)
	if size == 0 {
		l, z = listed(st, items, chosen, width)
	}
	if l == nil {
		return nil, nil
	}
	room, from := height-len(lines), 0
	for _, s := range z {
		if s.item == chosen && s.y1 > room {
			from = min(s.y1-room, len(l))
		}
	}
	zones = down(z, len(lines)-from)
	return append(lines, l[from:]...), zones
}
