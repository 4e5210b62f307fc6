package plan

import (
	"slices"

	"example.org/ringout/tui/digits"
)

// A layout is how a page is divided, by the room there is.
type layout uint8

const (
	narrow layout = iota // one thing at a time: the figures, or one page of results
	middle               // figures, and beside them one page of results
	wide                 // figures, one page of results, and the drawing as large as it can be
)

func (m Model) layout() layout {
	switch {
	case m.size.Width < 74:
		return narrow
	case m.size.Width < 140 || m.size.Height < 30:
		return middle
	}
	return wide
}

// pageNow is the page shown: the chosen one, or power when this layout does not have it.
func (m Model) pageNow() page {
	if m.has(m.page) {
		return m.page
	}
	return powerPage{}
}

func (m Model) has(p page) bool { return p.in(m) }

// turn goes to another page.
func (m Model) turn(by int) Model {
	m.page, m.scroll = pages[m.pageAfter(by)], 0
	return m
}

// pageAfter is the next page of this layout, or with -1 the one before.
func (m Model) pageAfter(by int) int {
	i := slices.Index(pages, m.pageNow())
	for {
		i = (i + by + len(pages)) % len(pages)
		if m.has(pages[i]) {
			return i
		}
	}
}

// inset is the number of columns that View leaves free at either side; all widths here are
// inside them.
const inset = 1

// Rows of the left column.
const (
	listTop  = 1 // below the name of the file
	footRows = 3 // of a hint, at most
	mostFoot = 6 // an answer that needs more room
	tabRows  = 1

	airyFrom    = 18 // from this height on an empty row is between things
	lowHead     = 24 // below it the results are in short above a page of power
	highDrawing = 27 // from it on the drawing has a page of its own
)

// air is the number of empty rows above and below the names of the pages: 1 if there is
// room.
func (m Model) air() int {
	if m.layout() == narrow || m.size.Height < airyFrom {
		return 0
	}
	return 1
}

func (m Model) leftWidth() int {
	switch m.layout() {
	case narrow:
		return m.size.Width
	case middle:
		return min(48, m.size.Width*44/100)
	}
	return 48
}

// rightWidth is that of the results; two cells are left for the rule between.
func (m Model) rightWidth() int {
	if m.layout() == narrow {
		return m.size.Width
	}
	return m.size.Width - m.leftWidth() - 2
}

// top is the row the list starts at: a narrow page has tabs and large words above.
func (m Model) top() int {
	if m.layout() == narrow {
		return listTop + tabRows + len(m.formHead())
	}
	return listTop
}

func (m Model) listRows() int {
	foot := 0
	if len(m.lines) > 0 {
		foot = len(m.foot(m.leftWidth()))
	}
	return max(1, m.size.Height-m.top()-foot)
}

// textWidth is that of a page of results: beside it the drawing may stand, which has about as much.
func (m Model) textWidth() int {
	if m.layout() == wide && m.doc != nil && !m.doc.Prop().Bulb() {
		return min(mostText, (m.rightWidth()-1)/2)
	}
	return m.rightWidth()
}

// mostText is the width of a text beside the drawing, above which it is no easier to read.
const mostText = 70

// largeRows is the height of what is said in large letters. The page of a bulb has
// no drawing and few lines: it gives them what it does not need.
func (m Model) largeRows() int {
	rows := digits.HeadRows(m.size.Height)
	if m.plan == nil || !m.plan.Prop.Bulb() || m.layout() == narrow {
		return rows
	}
	used := len(m.headline(m.textWidth()-2)) + tabRows + 3*m.air() + len(m.pageNow().lines(m, m.plan, m.textWidth(), 0))
	return max(rows, min(m.size.Height/4, m.size.Height-used)) // the bulb is drawn below
}

// pageRows is the height left for a page of results.
func (m Model) pageRows() int {
	apart := 2 * m.air() // empty rows
	if m.layout() == narrow {
		apart = 2 // below the head, and above the caution
	}
	return max(1, m.size.Height-len(m.above(m.rightWidth()))-tabRows-apart-m.cautionRows())
}

// scrollMost is the largest scroll of the page, in rows.
func (m Model) scrollMost() int {
	if p := m.pageNow(); p == (figuresPage{}) || p == (drawingPage{}) {
		return 0
	}
	return max(0, len(m.pageLines(m.textWidth()))-m.pageRows())
}

// inSight scrolls the list so that the chosen line is in it, with the heading
// above the first figure of a section. The last row says that more follows, where it
// does.
func (m Model) inSight() Model {
	rows := m.listRows()
	first, seen := m.at, rows
	if len(m.lines) > rows {
		seen -= m.noteRows()
	}
	if first > 0 { // the heading stands there, or a figure whose row the heading of its section takes
		first--
	}
	m.off = min(m.off, first)
	m.off = max(m.off, m.at-seen+1)
	m.off = max(0, min(m.off, len(m.lines)-rows))
	return m
}
