package light

import (
	"slices"

	"example.org/ringout/internal/memo"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// drawings keeps the canvases between two calls of View: a cache, so that a
// frame costs only the rows whose light changed.
type drawings struct {
	should, does picture
	room, steps  memo.Last[bandKey, int] // rows of the band of any pattern, and of any step of one
	band         memo.Last[bandOf, []line]
	side         memo.Last[sideKey, []string]
	column       memo.Last[columnOf, textColumn]
	fits         memo.Last[fitOf, bool]
	legendRows   memo.Last[legendKey, int]
	drawnRows    memo.Last[legendKey, int]
	stacks       memo.Last[stackKey, bool]
	gaps         memo.Last[stackKey, int]
	drafts       canvas.Drafts
	wires        memo.Last[*prop.Prop, float64] // highest level of white, 0 to 1, that the wires carry
	top          int                            // row of their captions on the page
	lead         int                            // rows from there to the first of the drawings
	next         int                            // rows from the first line of the first drawing to that of the second below it
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
		p.c = m.laidOut(counts, width, height)
		p.width, p.height, p.view = width, height, m.view()
	}
	return p.c
}

// laidOut is a new drawing of a size.
func (m Model) laidOut(counts []int, width, height int) *canvas.Canvas {
	if view := m.view(); view != canvas.Shape {
		return canvas.New(m.prop, counts, view, width, height, m.style.Depth)
	}
	return m.draw.drafts.Shape(m.prop, counts, width, height, m.style.Depth)
}

// gap is the space between two drawings in so many cells: larger where these are drawn as they lie, and less
// where they are larger then and have room at their sides.
func (m Model) gap(width, height int) int {
	const wide, rows = 80, 2 // of the legend
	switch {
	case width < wide:
		return 2
	case m.onePixel(), m.chosen && m.rows:
		return 4
	}
	return m.draw.gaps.Get(stackKey{m.prop, width, height}, func() int {
		return m.draw.drafts.Beside(m.prop, width, 4, height-rows, m.style.Depth)
	})
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
	switch {
	case m.stacks(width, height):
		height = canvas.OfTwo(height)
	case m.demo:
		width = (width - m.gap(width, height)) / 2
	}
	return max(0, width), height
}

// stackKey is all that stacks hangs on.
type stackKey struct {
	of            *prop.Prop
	width, height int
}

// stacks reports whether the two drawings of a demo are one above the other, since a long prop is
// larger so.
func (m Model) stacks(width, height int) bool {
	if !m.demo || m.compact() || m.chosen && m.rows {
		return false
	}
	return m.draw.stacks.Get(stackKey{m.prop, width, height}, func() bool {
		return m.draw.drafts.Stacked(m.prop, width, m.gap(width, height), height, m.style.Depth)
	})
}

// drawing is what the prop should show, and in the demo what it does show beside it, each
// with its legend, in at most height lines: without those that a drawing which is narrower or
// wider than its room leaves free.
func (m Model) drawing(width, height int) []string {
	m.draw.next = 0
	if m.stacks(width, height) {
		return m.oneAbove(width, height)
	}
	each := width
	if m.demo {
		each = (width - m.gap(width, height)) / 2
	}
	rows := m.legendRows(each, height)
	high := m.drawnRows(each, height, rows)
	should := m.shouldShow(each, high)
	if !m.demo {
		first, after := m.used()
		return m.under(m.captionOf(should, canvas.ExpectedTitle, each, rows), should.Lines()[first:after], height)
	}
	does := m.doesShow(each, high)
	between := style.Cell("", width-2*each)
	first, after := m.used()
	both := make([]string, 0, after-first)
	for i := first; i < after; i++ {
		both = append(both, should.Lines()[i]+between+does.Lines()[i])
	}
	return m.under(m.captionOfBoth(should, does, each, between, rows), both, height)
}

// shouldShow draws what is sent.
func (m Model) shouldShow(width, height int) *canvas.Canvas {
	c := m.draw.should.of(m, nil, width, height)
	var sent patterns.Frame
	if m.any {
		sent = m.snap.Sent
	}
	c.SetMark(m.markedPixel())
	m.choosePart(c)
	c.SetFrame(sent, m.snap.Level)
	return c
}

// doesShow draws the light of the simulated prop.
func (m Model) doesShow(width, height int) *canvas.Canvas {
	c := m.draw.does.of(m, m.counts(), width, height)
	c.SetMark(m.markedPixel())
	m.choosePart(c)
	c.SetLight(m.look.Light, m.snap.Level)
	return c
}

// oneAbove are the two drawings of a demo one above the other, each under its own legend.
func (m Model) oneAbove(width, height int) []string {
	each := canvas.OfTwo(height)
	rows := m.legendRows(width, each)
	high := m.drawnRows(width, each, rows)
	should, does := m.shouldShow(width, high), m.doesShow(width, high)
	first, after := m.used()
	out := m.under(m.captionOf(should, canvas.ExpectedTitle, width, rows), should.Lines()[first:after], each)
	lead := m.draw.lead
	second := m.under(m.captionOf(does, m.doesTitle(), width, rows), does.Lines()[first:after], each)
	m.draw.lead, m.draw.next = lead, len(out)+1+m.draw.lead-lead
	return append(append(out, ""), second...)
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
