package traffic

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/style"
)

// A group is slots of a universe that stand together: those of one pixel, or one that
// drives none of ours.
type group struct {
	first, n int // slots from 0
	pixel    int // from 0; -1 for none
}

// groups lays a universe out by pixels, up to the last slot that someone drives.
func (m Model) groups(l *look) []group {
	var out []group
	for at := 0; at < l.count; {
		g := group{at, 1, m.pixelAt(l.universe, at)}
		for g.pixel >= 0 && g.first+g.n < l.count && m.pixelAt(l.universe, g.first+g.n) == g.pixel {
			g.n++
		}
		out = append(out, g)
		at += g.n
	}
	return out
}

// pixelAt is the pixel that a slot drives, from 0; -1 for none.
func (m Model) pixelAt(u protocol.Universe, slot int) int {
	if m.patch == nil {
		return -1
	}
	pixel, _, ok := m.patch.Find(propPlace(u, slot))
	if !ok {
		return -1
	}
	return pixel
}

// A span is neighbouring groups whose slots have the same values.
type span struct{ from, to group }

// spans joins groups of one run that are alike: a dark run is one line.
func (m Model) spans(l *look) []span {
	var out []span
	for _, g := range m.groups(l) {
		if n := len(out); n > 0 && alike(l, out[n-1].to, g) && m.runOf(out[n-1].to) == m.runOf(g) {
			out[n-1].to = g
			continue
		}
		out = append(out, span{g, g})
	}
	return out
}

// runOf is the run of a group's pixel; -1 for none.
func (m Model) runOf(g group) int {
	if g.pixel < 0 {
		return -1
	}
	r, _ := m.prop.Find(g.pixel)
	return r
}

// alike reports whether two groups have the same values of the same sources, and both
// drive pixels or neither does.
func alike(l *look, a, b group) bool {
	if a.n != b.n || (a.pixel >= 0) != (b.pixel >= 0) {
		return false
	}
	for i := range a.n {
		if l.values[a.first+i] != l.values[b.first+i] || l.marks[a.first+i] != l.marks[b.first+i] {
			return false
		}
	}
	return true
}

// slotCells is the room for the numbers of slots.
const slotCells = 8

// most is the slots of a pixel; one where there is no prop.
func (m Model) most() int {
	if m.prop == nil {
		return 1
	}
	return m.prop.Chip.Order.Slots()
}

// markCells is the room for the mark of a colour.
const markCells = 2

// gapCells is free between two columns of entries.
const gapCells = 4

// slotRows are the slots of a universe without a prop, a row for each stretch that has one value.
func (m Model) slotRows(l *look) (head string, rows []string) {
	for _, s := range m.spans(l) {
		rows = append(rows, style.Cell(stretch(s.from.first, s.to.first+s.to.n-1), slotCells)+" "+strings.TrimRight(value(l, s.from.first), " "))
	}
	return m.style.Quiet.Render("slot     value"), rows
}

// initial is the sign of a channel beside its value.
func initial(c patterns.Channel) string { return strings.ToUpper(c.String()[:1]) }

// stretch is numbers from 0 as they are written from 1.
func stretch(first, last int) string {
	if first == last {
		return fmt.Sprint(first + 1)
	}
	return fmt.Sprintf("%d-%d", first+1, last+1)
}

// value is the level of a slot and the sign of who drives it.
func value(l *look, i int) string {
	if l.marks[i] == 0 {
		return "  - "
	}
	return fmt.Sprintf("%3d%c", l.values[i], l.marks[i])
}

// colourOf is the colour of the slots of one whole pixel.
func (m Model) colourOf(l *look, g group) (c patterns.Colour) {
	for i := range g.n {
		c = c.With(m.prop.Chip.Order.Channel(i), l.values[g.first+i])
	}
	return c
}

// slotPage is how the slots of a universe light the runs of the prop, and which pixels are unlike the
// others.
func (m Model) slotPage(l *look, width, height int) []string {
	full, beside := width, m.prop != nil && !m.prop.Bulb() && width >= besideWidth
	if beside {
		width = listedCells(width)
	}
	lines := m.slotHead(l, width)
	if m.prop == nil || len(m.runLines(l)) == 0 {
		lines = append(lines, m.standings(l, width)...)
		head, rows := m.slotRows(l)
		if len(rows) == 0 {
			return lines
		}
		const cells = slotCells + 1 + 4
		return append(append(lines, ""), m.columns(head, rows, cells, width, height-len(lines)-1)...)
	}
	const leastOdd = 5
	wide := width - 1
	if beside {
		wide -= asideCells - 1 // the ground of the drawing is next to it
	}
	said, by := m.oddLines(l, width), m.standings(l, width)
	rows := height - len(lines) - 2
	bands := m.runBands(l, wide, rows-leastOdd, 0)
	free := rows - len(bands) - len(said)
	if with := free - 1 - len(by); with >= 0 && len(by) > 0 { // who sends has room too
		free = with
	}
	if free > 0 {
		bands = m.runBands(l, wide, rows-leastOdd, free)
	}
	lines = append(append(lines, ""), m.panel(bands, wide, 0)...)
	lines = append(lines, "")
	if len(lines)+len(said)+1+len(by) <= height && len(by) > 0 {
		said = append(append(said, ""), by...)
	}
	lines = append(lines, m.cut(said, m.top, height-len(lines))...)
	if beside {
		return m.besidePanel(lines, m.shownDrawing, full, height)
	}
	return lines
}

// slotHead says which universe it is and what is unusual about it.
func (m Model) slotHead(l *look, width int) []string {
	wrap := func(text string) []string {
		return indent(style.WrapKeys(text, width-1, m.style.Strong, m.style.Accent))
	}
	out := wrap(m.caption(l))
	if len(out) > 1 && width < narrow && l.state == "" && len(m.runLines(l)) > 0 { // the runs say which slots
		if brief := wrap(m.universeKeys(l, false) + ":" + strings.TrimLeft(m.wireWords(), ":,")); len(brief) < len(out) {
			return brief
		}
	}
	return out
}

// universeKeys names the universe, which of all it is, and the keys to the others.
func (m Model) universeKeys(l *look, which bool) string {
	text := fmt.Sprintf("Universe %d", l.universe)
	i := index(m.universes, l.universe)
	if i == 0 || len(m.universes) < 2 {
		return text
	}
	if which {
		text += fmt.Sprintf(", %d of %d", i, len(m.universes))
	}
	switch i { // at the ends one does nothing
	case 1:
		return text + " (`→`)"
	case len(m.universes):
		return text + " (`←`)"
	}
	return text + " (`←`\u00a0`→`)"
}

// standings say who drives it.
func (m Model) standings(l *look, width int) (lines []string) {
	for _, s := range l.legend {
		lines = append(lines, indented(words.Sentence(s), width)...)
	}
	return lines
}

// caption names the universe and what is unusual about it.
func (m Model) caption(l *look) string {
	if l.universe == 0 {
		return "No universe to show yet"
	}
	text := m.universeKeys(l, true)
	switch {
	case l.state != "":
		text += ": " + l.state
	case l.count == 0:
		text += ": no source drives it"
	}
	if n := m.propSlots(l.universe); n != "" {
		sep := ": "
		if strings.Contains(text, ": ") {
			sep = "; "
		}
		text += sep + n
	}
	return text
}

// propSlots says which slots of a universe the prop takes.
func (m Model) propSlots(u protocol.Universe) string {
	if m.patch == nil {
		return ""
	}
	for i, v := range m.patch.Universes() {
		if protocol.Universe(v) == u && m.patch.Used(i) > 0 {
			first := 1
			if i == 0 {
				first = m.prop.Address.Slot + 1
			}
			return fmt.Sprintf("your prop is slots %d to %d%s", first, m.patch.Used(i), m.wireWords())
		}
	}
	if m.prop != nil && u > 0 {
		return "none of your pixels is on it"
	}
	return ""
}

func index(us []protocol.Universe, u protocol.Universe) int {
	for i := range us {
		if us[i] == u {
			return i + 1
		}
	}
	return 0
}

// perLine is how many entries stand beside one another.
func perLine(cells, width int) int { return max(1, (width-1+gapCells)/(cells+gapCells)) }

// columns are entries below their head, from the line m.top on, read from the top of
// each column down; the last line says how many more there are.
func (m Model) columns(head string, entries []string, cells, width, height int) []string {
	rows := height - 1
	if rows < 1 {
		return nil
	}
	k := perLine(cells, width)
	m.page.step = rows - 1
	from := max(0, min(m.top*k, len(entries)-k*rows))
	shown := entries[from:]
	m.page.more = 0
	more := ""
	if len(shown) > k*rows {
		rows -= len(beforeMore(rows)) + 1
		m.page.step = rows
		m.page.more = len(shown) - k*rows
		more = " " + m.style.More(fmt.Sprintf("… %d more below%s", m.page.more, m.page.order), "pgdn")
		shown = shown[:k*rows]
	}
	k = (len(shown) + rows - 1) / max(1, rows)
	lines := []string{" " + strings.TrimRight(strings.Repeat(style.Cell(head, cells+gapCells), max(1, k)), " ")}
	for y := range min(rows, len(shown)) {
		var b strings.Builder
		for i := y; i < len(shown); i += rows {
			b.WriteString(style.Cell(shown[i], cells+gapCells))
		}
		lines = append(lines, " "+strings.TrimRight(b.String(), " "))
	}
	if more != "" {
		lines = append(append(lines, beforeMore(height-1)...), more)
	}
	return lines
}
