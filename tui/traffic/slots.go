package traffic

import (
	"fmt"
	"slices"
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

// Widths of a row's columns, in cells.
const (
	pixelCells = 8 // 100-1440
	slotCells  = 8
	mostRun    = 18 // of a run's name; more is cut, and stands whole in the plan
)

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

// A slotTable is how wide the columns are that not every page has room for, and whether a
// value has the sign of its source after it.
type slotTable struct {
	run, colour int
	signs       bool
}

// table is the columns of a page so wide.
func (m Model) table(l *look, width int) slotTable {
	t := slotTable{colour: m.lightCells()}
	if m.prop == nil {
		return slotTable{}
	}
	if width >= valueWidth && len(m.prop.Runs) > 1 {
		t.run = min(mostRun, m.longestRun()) + 2
	}
	if width < valueWidth && m.most() > 3 { // the colour itself, without its name
		t.colour = markCells
	}
	t.signs = slices.ContainsFunc(l.marks[:l.count], func(b byte) bool { return b != 0 && b != ' ' })
	return t
}

// slotRows are the pixels of a universe, a row for each stretch lit alike: which pixels,
// on which run, their colour, their slots and the value of each channel, in one order on all
// pages. Slots that light none of the prop's pixels come after them.
func (m Model) slotRows(l *look, width int) (head string, rows []string) {
	t := m.table(l, width)
	if head = "slot     value"; m.prop != nil {
		head = style.Cell("pixel", pixelCells) + style.Cell("run", t.run) + style.Cell("colour", t.colour) + " " + style.Cell("slot", slotCells)
		for ch := range patterns.Channel(patterns.NumChannels) {
			if m.has[ch] {
				head += style.Cell(fmt.Sprintf(" %3s", initial(ch)), t.valueCells())
			}
		}
		head = strings.TrimRight(head, " ")
	}
	var others []string
	for _, s := range m.spans(l) {
		if row := m.slotRow(l, s, t); s.from.pixel < 0 {
			others = append(others, row)
		} else {
			rows = append(rows, row)
		}
	}
	return m.style.Quiet.Render(head), append(rows, others...)
}

func (m Model) slotRow(l *look, s span, t slotTable) string {
	var b strings.Builder
	switch {
	case m.prop == nil:
	case s.from.pixel < 0:
		b.WriteString(style.Cell("none", pixelCells+t.run+t.colour) + " ")
	default:
		b.WriteString(style.Cell(stretch(s.from.pixel, s.to.pixel), pixelCells))
		if t.run > 0 {
			b.WriteString(style.Cell(style.Clean(m.prop.Runs[m.runOf(s.from)].Name), t.run-1) + " ")
		}
		text := ""
		if s.from.n == m.most() {
			text = m.colour(m.colourOf(l, s.from), paint{})
			if t.colour <= markCells {
				text = m.mark(m.colourOf(l, s.from))
			}
		}
		b.WriteString(style.Cell(text, t.colour) + " ")
	}
	b.WriteString(style.Cell(stretch(s.from.first, s.to.first+s.to.n-1), slotCells))
	if s.from.pixel < 0 || m.prop == nil {
		b.WriteString(" " + t.value(l, s.from.first))
	} else {
		m.channelValues(&b, l, s.from, t)
	}
	return strings.TrimRight(b.String(), " ")
}

// valueCells is the width of a value with the space before it.
func (t slotTable) valueCells() int {
	if t.signs {
		return 5
	}
	return 4
}

// value is the level of a slot, with the sign of who drives it where the table has signs.
func (t slotTable) value(l *look, i int) string { return value(l, i)[:t.valueCells()-1] }

// channelValues are the values of a pixel in the order of the columns; blank where its slot
// is on another universe.
func (m Model) channelValues(b *strings.Builder, l *look, g group, t slotTable) {
	at := map[patterns.Channel]int{}
	for i := range g.n {
		_, channel, _ := m.patch.Find(propPlace(l.universe, g.first+i))
		at[m.prop.Chip.Order.Channel(channel)] = g.first + i
	}
	for ch := range patterns.Channel(patterns.NumChannels) {
		if !m.has[ch] {
			continue
		}
		text := strings.Repeat(" ", t.valueCells()-1)
		if i, ok := at[ch]; ok {
			text = t.value(l, i)
		}
		b.WriteString(" " + text)
	}
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

// slotPage is who drives a universe, and its slots pixel by pixel.
func (m Model) slotPage(l *look, width, height int) []string {
	beside := m.prop != nil && !m.prop.Bulb() && width >= besideWidth
	full := width
	if beside {
		width = listedWidth
	}
	lines := m.slotHead(l, width)
	if len(lines) > height/2 {
		lines = append(lines[:max(1, height/2-1)], m.style.Quiet.Render(" … more on the page of who lights: v"))
	}
	head, rows := m.slotRows(l, width)
	lines = append(lines, "")
	if len(rows) == 0 {
		return lines
	}
	lines = append(lines, m.columns(head, rows, width, width, height-len(lines))...)
	if beside {
		return m.besidePanel(lines, m.shownDrawing, full, height)
	}
	return lines
}

// slotHead says which universe it is, what is unusual about it and who drives it.
func (m Model) slotHead(l *look, width int) []string {
	lines := indented(m.caption(l), width)
	for i := range lines {
		lines[i] = m.style.Strong.Render(lines[i])
	}
	for _, s := range l.legend {
		lines = append(lines, indented(words.Sentence(s), width)...)
	}
	return lines
}

// orderWords say in which order a pixel's slots come, where the columns have another.
func (m Model) orderWords() string {
	if m.prop == nil {
		return ""
	}
	var sent, shown []string
	for _, ch := range m.prop.Chip.Order.Channels() {
		sent = append(sent, initial(ch))
	}
	for ch := range patterns.Channel(patterns.NumChannels) {
		if m.has[ch] {
			shown = append(shown, initial(ch))
		}
	}
	if slices.Equal(sent, shown) {
		return ""
	}
	return ", each pixel " + strings.Join(sent, " ")
}

// caption names the universe and what is unusual about it.
func (m Model) caption(l *look) string {
	if l.universe == 0 {
		return "No universe to show yet"
	}
	text := fmt.Sprintf("Universe %d", l.universe)
	if i := index(m.universes, l.universe); i > 0 && len(m.universes) > 1 {
		text += fmt.Sprintf(", %d of %d", i, len(m.universes))
	}
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
			return fmt.Sprintf("your prop is slots %d to %d%s", first, m.patch.Used(i), m.orderWords())
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
		rows--
		m.page.more = len(shown) - k*rows
		more = m.style.Quiet.Render(fmt.Sprintf(" … %d more below: pgdn", m.page.more))
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
		lines = append(lines, more)
	}
	return lines
}
