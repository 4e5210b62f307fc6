package check

import (
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// A columnRoom is the room of a question page whose answers are in a column at the right of the
// drawings, and what it hangs on. It is the same for all questions and single tests of a prop.
type columnRoom struct {
	of            *prop.Prop
	width, height int
	abreast       int // drawings side by side
	large         int // rows of large words
	each          int // columns of a drawing; 0 where the prop does not fit as it lies
	air           int // empty rows around a drawing
}

// leastColumn is the least width of the column of answers, its margins and the last cell of the ground counted:
// with less, most answers take three rows.
const leastColumn = 34

// columnShare is the part of the page that the column has at least, so that answers grow
// with the window too.
const columnShare = 4

// columnGap is the number of free columns between drawings, besides those that they leave at their sides.
const columnGap = 2

// airAround is the number of empty rows around a drawing that would reach to its legend and to the foot of
// its ground: one above, and one below where there is ground.
func (m scene) airAround() int {
	if m.style.Depth == style.Letters {
		return 1
	}
	return 2
}

// aboveColumn is how many rows a page has above the drawings, besides large words and text: the
// progress, and an empty row after each.
const aboveColumn = 1 + 3

// columnRoom is the room beside the answers, with the largest words that leave the prop
// room to be drawn as it lies.
func (m Model) columnRoom(width, height int) columnRoom {
	r := &m.draw.column
	n := m.scene().abreast(width - 2*edge)
	if r.of == m.of.sub && r.width == width && r.height == height && r.abreast == n {
		return *r
	}
	*r = columnRoom{of: m.of.sub, width: width, height: height, abreast: n}
	for r.large = digits.HeadRows(height); r.large > 0; r.large -= digits.Rows {
		if r.large > digits.Rows && !questionsFit(width, r.large) {
			continue
		}
		rows := height - aboveColumn - m.textRows() - r.large - 1 // one is empty at the foot
		if r.each, r.air = m.inColumn(width, rows, n); r.each > 0 {
			break
		}
	}
	return *r
}

// inColumn is the width of each of n drawings beside the answers, and the empty rows around it; 0 for none. The
// answers have their share of the page, unless the least of it makes the drawings much larger.
func (m Model) inColumn(width, rows, n int) (each, air int) {
	const larger, narrowest = 1.5, leastColumn - 2
	sc := m.scene()
	sc.shaped = true
	room := func(column int) int {
		return min((width-edge-column-columnGap*(n-1))/n, shapeWidth(m.of.sub, rows))
	}
	each, air = sc.airyAsItLies(room(max(leastColumn, width/columnShare)), rows, n == 1)
	if wide := room(narrowest); n == 1 && each > 0 && wide > each {
		if e, a := sc.airyAsItLies(wide, rows, n == 1); e > 0 && sc.reach(e, rows-a) > larger*sc.reach(each, rows-air) {
			each, air = e, a
		}
	}
	if n == 1 {
		each = sc.trimmed(each, rows-air)
	}
	return each, air
}

// trimmed is the width that a drawing of at most so many columns needs to be as large: what it cannot use is the
// answers'.
func (m scene) trimmed(each, rows int) int {
	const tried, margins = 8, 2 // columns
	reach := m.reach(each, rows)
	for w := max(leastSide, int(reach)+margins); w < each && float64(w) < reach+margins+tried; w++ {
		if c := m.below(w, rows); c != nil && clearAside(c, w) && m.reach(w, rows) == reach {
			return w
		}
	}
	return each
}

// reach is the number of columns that a drawing as it lies takes.
func (m scene) reach(width, rows int) float64 {
	c := m.below(width, rows)
	if c == nil {
		return 0
	}
	first, after := c.UsedColumns()
	return float64(after - first)
}

// airyAsItLies is the largest width, up to most, of a drawing that shows the prop as it lies below its
// legend, and the empty rows around it that keep it off the legend and the foot of its ground; 0 for none.
// In a little less room the pixels may stand evenly. One that has room to stand clear goes before a larger
// one that has not: of others beside it too, unless it is alone.
func (m scene) airyAsItLies(most, rows int, alone bool) (each, air int) {
	const tried = 8 // columns
	widest := 0
	for each := most; each >= max(leastSide, most-tried); each-- {
		c := m.below(each, rows)
		switch {
		case c == nil:
			continue
		case m.sub.Pixels() == 1, (alone || clearAside(c, each)) && m.clearAbove(c): // a disc has ground around it
			return each, 0
		}
		air := m.airAround()
		if c := m.below(each, rows-air); c != nil && (alone || clearAside(c, each)) {
			return each, air
		}
		if widest == 0 {
			widest = each
		}
	}
	return widest, 0
}

// below is the prop as it lies below its legend in so many rows; nil where it has no room.
func (m scene) below(width, rows int) *canvas.Canvas {
	legend, gap := m.legendRows(width, width, rows)
	return m.asItLies(width, rows-legend-gap)
}

// clearAside reports whether a drawing so wide leaves a column free at each side.
func clearAside(c *canvas.Canvas, width int) bool {
	first, after := c.UsedColumns()
	return first > 0 && after < width
}

// clearAbove reports whether a drawing leaves a row free above and below, besides the foot of its ground.
func (m scene) clearAbove(c *canvas.Canvas) bool {
	first, after := c.Used()
	return first > 0 && after+m.airAround()-1 < len(c.Lines())
}

// asItLies is a drawing of so many cells that shows the prop as it lies; nil where there is none.
func (m scene) asItLies(width, height int) *canvas.Canvas {
	return m.draw.drafts.AsItLies(m.sub, width, height, m.style.Depth)
}

// questionsFit reports whether the questions have room in large words of so many rows, the longest ones in
// fewer words: the narrowest easy letters of three and of six rows are as wide, higher ones as many times.
func questionsFit(width, rows int) bool {
	const most = 58 // columns of the longest question in fewer words, in these letters of three rows
	return width-2*edge >= most*max(2, rows/digits.Rows)/2
}

// mostLegend is the largest number of rows of a legend over a drawing of light.
const mostLegend = 2

// shapeWidth is how many columns a drawing of so many rows can use, its margins counted: a cell
// is twice as high as wide.
func shapeWidth(p *prop.Prop, rows int) int {
	const margins = 8
	lo, hi := prop.Bounds(prop.Layout(p)...)
	if hi.Y-lo.Y <= 0 {
		return 2 * rows * max(1, p.Pixels())
	}
	return int(2*float64(rows)*(hi.X-lo.X)/(hi.Y-lo.Y)) + margins
}

// askingBeside is asking with the answers at the right of the drawings; nil where they or
// the text have no room there.
func askingBeside(m Model, q query, chosen, width, height int) (lines []string, zones []zone) {
	if m.of.sub == nil {
		return nil, nil
	}
	r := m.columnRoom(width, height)
	if r.each == 0 {
		return nil, nil
	}
	lines, less := questionTop(m, q, width, height, r.large)
	lines = append(make([]string, less), lines...) // the drawings keep their place
	rows, drawing := height-len(lines)-1, r.abreast*(r.each+columnGap)-columnGap
	left := edge - 1 + drawing + 2 // the ground of the drawings has a cell more at each side
	column, zones := answersInColumn(m, q, chosen, width-left, rows)
	if len(column) > rows {
		return nil, nil
	}
	sc := m.scene()
	sc.shaped, sc.air = true, r.air
	drawn, _ := canvas.Panel(m.style, sc.beside(sc.panels()[:r.abreast], r.each, drawing, rows), drawing, 0)
	for i := range zones {
		zones[i].x0, zones[i].x1 = zones[i].x0+left, zones[i].x1+left
	}
	zones = down(zones, len(lines))
	for i, l := range drawn {
		if i < len(column) {
			l += column[i]
		}
		lines = append(lines, strings.Repeat(" ", edge-1)+l)
	}
	note := noteBelow(m, width)
	return append(lines[:min(len(lines), height-max(1, len(note)))], note...), zones
}

// answersInColumn are the answers, and below them the open explanations in the rows that are
// left. Answers stand apart where nothing else needs the rows, those with swatches also where these
// leave enough of them.
func answersInColumn(m Model, q query, chosen, width, rows int) (lines []string, zones []zone) {
	lines, zones = q.answers(m.style, chosen, width, rows+airyFrom)
	if q.typed != nil { // the readings stand below it
		lines = style.WithoutEnd(lines)
	}
	least := 0
	if q.side != nil {
		least = 1 + openRows
	}
	if swatches := len(q.items) > 0 && q.items[0].sign != ""; q.typed == nil && (q.side == nil || swatches) && len(lines)+len(zones)-1+least <= rows {
		lines, zones = apart(lines, zones)
	}
	if q.side == nil {
		return lines, zones
	}
	if room := rows - len(lines) - 1; room > leastDrawn {
		side := q.side(width-2*edge, room)
		if len(side) > 0 && !style.Blank(lines[len(lines)-1]) {
			lines = append(lines, "")
		}
		lines = append(lines, style.Indent(side, edge)...)
	}
	return lines, zones
}
