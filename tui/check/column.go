package check

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

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
}

// leastColumn is the least width of the column of answers, its margins counted: with less,
// most answers take three rows.
const leastColumn = 34

// columnShare is the part of the page that the column has at least, so that answers grow
// with the window too.
const columnShare = 4

// columnGap is the number of free columns between drawings.
const columnGap = 2

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
	for r.large = titleRows(height); r.large > 0; r.large -= digits.Rows {
		if r.large > digits.Rows && width-2*edge < lettersWide*r.large/digits.Rows {
			continue
		}
		rows := height - aboveColumn - m.textRows() - r.large - 1 // one is empty at the foot
		each := (width - edge - max(leastColumn, width/columnShare) - columnGap*(n-1)) / n
		if r.each = m.scene().widestAsItLies(min(each, shapeWidth(m.of.sub, rows)), rows); r.each > 0 {
			break
		}
	}
	return *r
}

// widestAsItLies is the largest width, up to most, of a drawing that shows the prop as it lies
// below its legend; 0 for none. In a little less room the pixels may stand evenly.
func (m scene) widestAsItLies(most, rows int) int {
	const tried = 8 // columns
	for each := most; each >= max(leastSide, most-tried); each-- {
		if m.asItLies(each, rows-mostLegend) || m.asItLies(each, rows-1) {
			return each
		}
	}
	return 0
}

// asItLies reports whether a drawing of so many cells shows the prop as it lies, without gaps
// that look like dark pixels.
func (m scene) asItLies(width, height int) bool {
	p, d := m.sub, m.style.Depth
	if p.Pixels() == 1 { // a disc
		return true
	}
	if canvas.Straight(p) {
		return false
	}
	return !canvas.Best(p, nil, width, height, d).Rows() || canvas.New(p, nil, canvas.Shape, width, height, d).Even()
}

// lettersWide is the width of the longest question in the narrowest easy letters of three
// rows: higher words of it need as many times the room.
const lettersWide = 58

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
	left := edge + drawing
	column, zones := answersInColumn(m, q, chosen, width-left, rows)
	if len(column) > rows {
		return nil, nil
	}
	sc := m.scene()
	sc.shaped = true
	drawn, _ := canvas.Panel(m.style, sc.beside(sc.panels()[:r.abreast], r.each, drawing, rows), drawing, 0)
	for i := range zones {
		zones[i].x0, zones[i].x1 = zones[i].x0+left, zones[i].x1+left
	}
	zones = down(zones, len(lines))
	for i, l := range drawn {
		if i < len(column) {
			l = besideGround(l, column[i])
		}
		lines = append(lines, strings.Repeat(" ", edge-1)+l)
	}
	note := noteBelow(m, width)
	return append(lines[:min(len(lines), height-max(1, len(note)))], note...), zones
}

// besideGround is a line of a panel, with a line at its right that gives its first cell to the ground
// where that is empty.
func besideGround(panel, line string) string {
	if rest, free := strings.CutPrefix(line, " "); free || line == "" {
		return panel + rest
	}
	return style.Cell(ansi.Truncate(panel, style.Width(panel)-1, ""), style.Width(panel)-1) + line
}

// answersInColumn are the answers, and below them the open explanations in the rows that are
// left.
func answersInColumn(m Model, q query, chosen, width, rows int) (lines []string, zones []zone) {
	lines, zones = q.answers(m.style, chosen, width, rows+airyFrom)
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
