package plan

// A layout is how a page is divided, by the room there is.
type layout uint8

const (
	narrow layout = iota // one thing at a time: the figures, or one page of results
	middle               // figures, and beside them one page of results
	wide                 // figures, and beside them the drawing above one page of results
)

// A page is one kind of result.
type page uint8

const (
	figuresPage page = iota // only in the narrow layout
	powerPage
	countsPage
	addressPage
	drawingPage // in the wide layout it is always there
	mindPage
	pages
)

var pageNames = [pages]string{"Figures", "Power", "Counts", "Addresses", "Drawing", "Mind"}

func (m Model) layout() layout {
	switch {
	case m.size.Width < 74:
		return narrow
	case m.size.Width < 102 || m.size.Height < 32:
		return middle
	}
	return wide
}

// has tells whether a layout has the page.
func (l layout) has(p page) bool {
	switch p {
	case figuresPage:
		return l == narrow
	case drawingPage:
		return l != wide
	}
	return true
}

// pageNow is the page shown: the nearest that this layout has.
func (m Model) pageNow() page {
	switch p := m.page; {
	case m.layout().has(p):
		return p
	default:
		return powerPage
	}
}

// turn goes to another page.
func (m Model) turn(by int) Model {
	p := m.pageNow()
	for {
		p = (p + page(by) + pages) % pages
		if m.layout().has(p) {
			break
		}
	}
	m.page, m.scroll = p, 0
	return m
}

// inset is what View puts beside the page at either side; all widths here are
// inside it.
const inset = 1

// Rows of the left column.
const (
	listTop  = 1 // below the name of the file
	footRows = 3 // hint, note or question
	mostFoot = 6 // an answer that needs more room
	headRows = 4 // of the results in short
	tabRows  = 1

	airyFrom = 34 // from this height on an empty row stands between things
)

// air is the empty row above the drawing and the one above the names of the pages, on
// pages that have room.
func (m Model) air() (drawing, tabs int) {
	if m.layout() != wide || m.size.Height < airyFrom {
		return 0, 0
	}
	return min(1, m.drawingRows()), 1
}

func (m Model) leftWidth() int {
	switch m.layout() {
	case narrow:
		return m.size.Width
	case middle:
		return m.size.Width * 46 / 100
	}
	return 48
}

// rightWidth leaves two cells for the rule between.
func (m Model) rightWidth() int {
	if m.layout() == narrow {
		return m.size.Width
	}
	return m.size.Width - m.leftWidth() - 2
}

// top is the row the list starts at: a narrow page has tabs above.
func (m Model) top() int {
	if m.layout() == narrow {
		return listTop + tabRows
	}
	return listTop
}

func (m Model) listRows() int {
	foot := footRows
	if len(m.lines) > 0 {
		foot = len(m.foot(m.leftWidth()))
	}
	return max(1, m.size.Height-m.top()-foot)
}

// drawingRows is the height of the drawing above the page.
func (m Model) drawingRows() int {
	if m.layout() == wide && m.doc != nil && !m.doc.Prop().Bulb() {
		return m.size.Height * 2 / 5
	}
	return 0
}

func (m Model) headRows() int {
	if m.layout() == narrow {
		return 2
	}
	return headRows
}

// pageRows is the height left for a page of results.
func (m Model) pageRows() int {
	above, below := m.air()
	return max(1, m.size.Height-m.headRows()-tabRows-m.drawingRows()-above-below)
}

// scrollMost is how far the page can be scrolled.
func (m Model) scrollMost() int {
	if p := m.pageNow(); p == figuresPage || p == drawingPage {
		return 0
	}
	return max(0, len(m.pageLines(m.rightWidth()))-m.pageRows())
}

// inSight scrolls the list so that the chosen line is in it, with the heading
// above the first figure of a section.
func (m Model) inSight() Model {
	rows := m.listRows()
	first := m.at
	if first > 0 && m.lines[first-1].head != "" {
		first--
	}
	m.off = min(m.off, first)
	m.off = max(m.off, m.at-rows+1)
	m.off = max(0, min(m.off, len(m.lines)-rows))
	return m
}
