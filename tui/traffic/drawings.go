package traffic

import (
	"maps"
	"slices"
	"strings"

	"example.org/ringout/internal/memo"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// drawings keeps the two canvases between calls of View, and where pixels lie in other sizes.
type drawings struct {
	shown, yours  *canvas.Canvas
	width, height int
	rows          bool // both in rows of pixels, whatever shows more
	drafts        canvas.Drafts
	rowsFit       memo.Last[[2]int, bool] // of a width and a height
	airy          memo.Last[drawnRoom, int]
}

// A drawnRoom is what the rows of a drawing below its legend hang on.
type drawnRoom struct {
	of          *prop.Prop
	width, rows int
}

// at lays both canvases out, unless they are that size already.
func (d *drawings) at(m Model, width, height int) { d.laid(false, m.laidOut, width, height) }

// inRows is at for rows of pixels.
func (d *drawings) inRows(m Model, width, height int) { d.laid(true, m.laidInRows, width, height) }

func (d *drawings) laid(rows bool, out func(width, height int) *canvas.Canvas, width, height int) {
	if d.shown == nil || d.width != width || d.height != height || d.rows != rows {
		d.shown, d.yours = out(width, height), out(width, height)
		d.width, d.height, d.rows = width, height, rows
	}
}

// drawnRows are the rows of a drawing below its legend, of so many.
func (m Model) drawnRows(width, rows int) int {
	return m.draw.airy.Get(drawnRoom{m.prop, width, rows}, func() int {
		return canvas.AiryRows(rows, func(rows int) *canvas.Canvas { return m.laidOut(width, rows) })
	})
}

// laidInRows is the prop in rows of pixels of a size.
func (m Model) laidInRows(width, height int) *canvas.Canvas {
	return canvas.New(m.prop, nil, canvas.Rows, width, height, m.style.Depth)
}

// laidOut is the prop in a drawing of a size.
func (m Model) laidOut(width, height int) *canvas.Canvas {
	return m.draw.drafts.Best(m.prop, nil, width, height, m.style.Depth).Apart(m.prop, width, height)
}

// together reports whether the prop is lit just as we light it, by us alone.
func (m Model) together() bool {
	if m.sent() == nil {
		return false
	}
	for _, p := range m.light.Pixels {
		if p.Shown != p.Yours {
			return false
		}
	}
	return true
}

// Gaps between two drawings, and the room that a drawing needs to show anything.
const (
	betweenCells = 2 // of rows of pixels
	ringsCells   = 4 // of props as they lie
	leastRows    = 6
	leastDisc    = 4 // of a bulb
	leastCells   = 24
)

// drawing is the prop as it is lit beside the prop as we light it, captions above; once
// where both are the same. Nil where there is no room.
func (m Model) drawing(width, height int) []string {
	if enough := m.prop.Bulb() && height >= leastDisc || height >= leastRows || m.together() && m.hasRoom(width, height); width < leastCells || !enough {
		return nil
	}
	shown, yours := m.frames()
	if m.together() {
		m.draw.at(m, width, m.drawnRows(width, height-1))
		m.draw.yours.SetFrame(yours, wholeScale)
		return canvas.Under(m.titled(yoursTitle, m.draw.yours, width, 1), used(m.draw.yours), height)
	}
	between := m.between(width, height)
	each := (width - between) / 2
	rows := m.legendRows(each, height)
	if !m.prop.Bulb() && m.laidOut(each, height-rows).Per() > 1 && m.laidOut(width, height-rows).Per() == 1 {
		return m.shownDrawing(width, height) // two drawings would hide pixels
	}
	if common := m.commonLegend(width, each, height, shown, yours); common != nil {
		return canvas.Under(common, style.Beside(used(m.draw.shown), used(m.draw.yours), width-each), height)
	}
	m.draw.at(m, each, m.drawnRows(each, height-rows))
	m.draw.shown.SetFrame(shown, wholeScale)
	m.draw.yours.SetFrame(yours, wholeScale)
	return style.Beside(
		canvas.Under(m.titled(shownTitle, m.draw.shown, each, rows), used(m.draw.shown), height),
		canvas.Under(m.titled(yoursTitle, m.draw.yours, each, rows), used(m.draw.yours), height), each+between)
}

// between is the gap between two drawings: wider for those of a prop as it lies, whose edges would meet.
func (m Model) between(width, height int) int {
	if m.prop.Bulb() || m.laidOut((width-ringsCells)/2, height-1).Rows() {
		return betweenCells
	}
	return ringsCells
}

// commonLegend is the signs of both drawings once, above the titles, for drawings that are each too
// narrow to name them all; nil where it costs a drawing its detail.
func (m Model) commonLegend(width, each, height int, shown, yours patterns.Frame) []string {
	if m.prop.Bulb() {
		return nil
	}
	for rows := 1; rows <= 2; rows++ {
		c := m.laidOut(each, height-rows-1)
		if one := m.laidOut(each, height-1); c.Per() != one.Per() || c.Rows() != one.Rows() || len(used(c)) > height-rows-1 {
			return nil
		}
		m.draw.at(m, each, m.drawnRows(each, height-rows-1))
		m.draw.shown.SetFrame(shown, wholeScale)
		m.draw.yours.SetFrame(yours, wholeScale)
		names, own := m.commonNames()
		lines, all := canvas.Legend(width, rows, names...)
		if !all && rows < 2 {
			continue
		}
		quiet := m.style.OnPanel().Quiet.Render
		for i := range lines {
			lines[i] = canvas.InLegend(lines[i], m.style.Depth, own, quiet)
		}
		return append(lines, style.Cell(quiet(shownTitle.Full), width-each)+quiet(yoursTitle.Full))
	}
	return nil
}

// commonNames are the names of both drawings, each once, and the lights among them.
func (m Model) commonNames() ([]canvas.Name, canvas.Lights) {
	shown, yours := m.draw.shown, m.draw.yours
	colours, own := shown.Colours()
	more, lights := yours.Colours()
	colours = inOrder(canvas.Union(colours, more))
	if own == nil {
		own = canvas.Lights{}
	}
	maps.Copy(own, lights)
	return canvas.Union([]canvas.Name{shown.Scale()}, shown.LightNames(), yours.LightNames(), shown.ShadeNames(true, yours), colours), own
}

// hasRoom reports whether a drawing under a legend shows anything in so many rows: few are enough
// for rows of pixels.
func (m Model) hasRoom(width, height int) bool {
	if width < leastCells {
		return false
	}
	if height < leastRows && height > len(m.prop.Runs) {
		c := m.laidOut(width, height-1)
		return c.Rows() && c.Per() == 1
	}
	return height >= leastRows
}

// titleRows are those of a legend of two in rows.
const titleRows = 2

// fitInRows reports whether both drawings have room in rows of pixels that lie under one another, without a
// sign for several pixels.
func (m Model) fitInRows(width, height int) bool {
	each := canvas.OfTwo(height)
	return width >= leastCells && each >= leastRows+titleRows && m.sent() != nil &&
		m.draw.rowsFit.Get([2]int{width, each}, func() bool { return m.laidInRows(width, each-titleRows-1).Per() == 1 })
}

// bothInRows is the prop as it is lit above the prop as we light it, in such rows.
func (m Model) bothInRows(width, height int) []string {
	each := canvas.OfTwo(height)
	m.draw.inRows(m, width, each-titleRows-1)
	shown, yours := m.frames()
	m.draw.shown.SetFrame(shown, wholeScale)
	m.draw.yours.SetFrame(yours, wholeScale)
	top, low := canvas.OneForm(width, titleRows, append([]canvas.Name{shownTitle}, m.namesBeside(m.draw.shown, m.draw.yours)...),
		append([]canvas.Name{yoursTitle}, m.namesBeside(m.draw.yours, m.draw.shown)...))
	one, two := m.titledWith(top[0], m.draw.shown, top[1:], width, titleRows), m.titledWith(low[0], m.draw.yours, low[1:], width, titleRows)
	return append(append(canvas.Under(one, used(m.draw.shown), each), ""), canvas.Under(two, used(m.draw.yours), each)...)
}

// shownDrawing is the prop as it is lit, its caption above; nil where there is no room.
func (m Model) shownDrawing(width, height int) []string {
	if !m.hasRoom(width, height) {
		return nil
	}
	shown, _ := m.frames()
	rows := m.legendRows(width, height)
	m.draw.at(m, width, m.drawnRows(width, height-rows))
	m.draw.shown.SetFrame(shown, wholeScale)
	if names := append([]canvas.Name{shownTitle.With(m.draw.shown.Scale())}, m.names(m.draw.shown)...); rows+len(used(m.draw.shown)) == height {
		if _, all := canvas.Legend(width, 1, names...); all { // in short, an empty row above the drawing
			rows = 1
		}
	}
	return canvas.Under(m.titled(shownTitle, m.draw.shown, width, rows), used(m.draw.shown), height)
}

// used are the lines of a drawing without the free ones above and below it.
func used(c *canvas.Canvas) []string {
	first, after := c.Used()
	return c.Lines()[first:after]
}

// names are the signs of a drawing and its lights.
func (m Model) names(c *canvas.Canvas) []canvas.Name {
	colours, _ := c.Colours()
	return slices.Concat(c.LightNames(), c.ShadeNames(true), inOrder(colours))
}

// namesBeside are names of a drawing with another one beside it.
func (m Model) namesBeside(c, other *canvas.Canvas) []canvas.Name {
	colours, _ := c.Colours()
	return slices.Concat(c.LightNames(), c.ShadeNamesBeside(other), inOrder(colours))
}

// titled is what a drawing is of, and its signs as far as there is room in so many rows.
func (m Model) titled(title canvas.Name, c *canvas.Canvas, width, rows int) []string {
	return m.titledWith(title, c, m.names(c), width, rows)
}

// titledWith is titled with these names.
func (m Model) titledWith(title canvas.Name, c *canvas.Canvas, said []canvas.Name, width, rows int) []string {
	names := append([]canvas.Name{title.With(c.Scale())}, c.LightNames()...)
	_, own := c.Colours()
	lines, all := canvas.LegendIn(width, rows, names[0], said...)
	if !all || m.prop.Bulb() { // the table names the shades too, and of a bulb there is but one
		lines, _ = canvas.LegendIn(width, rows, names[0], append(names[1:], c.ShadeNames(false)...)...)
	}
	for i := range lines {
		lines[i] = canvas.InLegend(lines[i], m.style.Depth, own, m.style.OnPanel().Quiet.Render)
	}
	for len(lines) < rows {
		lines = append(lines, "")
	}
	return lines
}

// colourOrder is the order of colours in legends, round the circle of hues.
var colourOrder = []string{"red", "orange", "yellow", "green", "cyan", "blue", "violet", "magenta"}

// inOrder are names of colours in that order, dim ones after the others.
func inOrder(names []canvas.Name) []canvas.Name {
	rank := func(n canvas.Name) int {
		_, word, _ := strings.Cut(n.Full, "\u00a0")
		hue, dim := strings.CutPrefix(word, "dim\u00a0")
		at := slices.Index(colourOrder, hue)
		if dim {
			at += len(colourOrder)
		}
		return at
	}
	out := slices.Clone(names)
	slices.SortStableFunc(out, func(a, b canvas.Name) int { return rank(a) - rank(b) })
	return out
}

// legendRows is how many rows the legends of two drawings side by side have.
func (m Model) legendRows(each, height int) int {
	if m.prop.Bulb() || height < leastRows+1 {
		return 1
	}
	return canvas.LegendRows(2, func(rows int) *canvas.Canvas { return m.laidOut(each, height-rows) }, func(c *canvas.Canvas, _ int) (int, []canvas.Name) {
		return each, canvas.InShort(append([]canvas.Name{shownTitle.With(c.Scale())}, append(c.MostNames(false), c.MostShadeNames(true)...)...))
	})
}

// What the two drawings are of.
var (
	yoursTitle = canvas.Name{Full: "What you send", Brief: "You send"}
	shownTitle = canvas.Name{Full: "What your prop shows", Brief: "Prop shows"}
)
