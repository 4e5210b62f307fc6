package light

import (
	"slices"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// drawings keeps the canvases between two calls of View: a cache, so that a
// frame costs only the rows whose light changed.
type drawings struct {
	should, does picture
	room, steps  memo[bandKey, int] // rows of the band of any pattern, and of any step of one
	band         memo[bandOf, []line]
	side         memo[sideKey, []string]
	fits         memo[fitOf, bool]
	legendRows   memo[legendKey, int]
	top          int // row of their captions on the page
	lead         int // rows from there to the first of the drawings
}

// A picture is one canvas and the input of its layout.
type picture struct {
	c             *canvas.Canvas
	width, height int
	view          canvas.View
}

// of gives the canvas for a size, laid out again only when something differs.
func (p *picture) of(m Model, counts []int, width, height int) *canvas.Canvas {
	if p.c == nil || p.width != width || p.height != height || p.view != m.view() ||
		counts != nil && !p.c.Fits(counts) {
		p.c = canvas.New(m.prop, counts, m.view(), width, height, m.style.Depth)
		p.width, p.height, p.view = width, height, m.view()
	}
	return p.c
}

// gap is the space between two drawings in so many cells: larger where these are drawn as they lie.
func gap(width int) int {
	const wide = 80
	if width < wide {
		return 2
	}
	return 4
}

// drawingRows is the height of the drawings and their legend in the rows below a head: the
// same for all patterns, whose words take more rows or fewer.
func (m Model) drawingRows(width, height int) int {
	rows, least := height-m.leastDrawing()-1, 0
	if m.demo && m.compact() {
		least = besideRows
	}
	return max(least, height-min(m.bandRows(width, rows), rows+m.leastDrawing())-1)
}

// pictures is the room of each drawing with its legend.
func (m Model) pictures() (width, height int) {
	width, height = m.size.Width-sideWidth-edge, m.size.Height
	if m.compact() {
		width, height = m.size.Width-2*edge, m.size.Height-narrowHead
	}
	height = m.drawingRows(width, height)
	if m.demo {
		width = (width - gap(width)) / 2
	}
	return max(0, width), height
}

// drawing is what the prop should show, and in the demo what it does show beside it, each
// with its legend, in at most height lines: without those that a drawing which is narrower or
// wider than its room leaves free.
func (m Model) drawing(width, height int) []string {
	each := width
	if m.demo {
		each = (width - gap(width)) / 2
	}
	rows := m.legendRows(each, height)
	should := m.draw.should.of(m, nil, each, height-rows)
	var sent patterns.Frame
	if m.any {
		sent = m.snap.Sent
	}
	should.SetMark(m.markedPixel())
	m.choosePart(should)
	should.SetFrame(sent, m.snap.Level)
	if !m.demo {
		first, after := m.used()
		c := m.caption()
		return m.under(c.legend(each, rows, shouldTitle.With(should.Scale()), c.names(should)), should.Lines()[first:after], height)
	}
	does := m.draw.does.of(m, m.counts(), each, height-rows)
	does.SetMark(m.markedPixel())
	m.choosePart(does)
	does.SetLight(m.look.Light, m.snap.Level)
	between := style.Cell("", width-2*each)
	first, after := m.used()
	both := make([]string, 0, after-first)
	for i := first; i < after; i++ {
		both = append(both, should.Lines()[i]+between+does.Lines()[i])
	}
	return m.under(m.caption().both(should, does, each, between, rows), both, height)
}

// under is the drawings under their legend, of which no empty row stays beside the one below
// it, and keeps where they begin, for clicks.
func (m Model) under(legend, drawn []string, height int) []string {
	out := canvas.Under(style.WithoutEnd(legend), drawn, height)
	m.draw.lead = len(out) - len(drawn)
	return out
}

// used are the lines of the drawings that are shown: the first, and the one after the last.
func (m Model) used() (first, after int) {
	first, after = m.draw.should.c.Used()
	if m.demo && m.draw.does.c != nil {
		f, a := m.draw.does.c.Used()
		first, after = min(first, f), max(after, a)
	}
	return first, after
}

// counts are the lengths of the simulated runs; the planned ones until light has arrived.
func (m Model) counts() []int {
	if m.look.Light == nil || slices.ContainsFunc(m.look.Light, func(r []patterns.Colour) bool { return r == nil }) {
		return nil
	}
	return canvas.Counts(m.look.Light)
}
