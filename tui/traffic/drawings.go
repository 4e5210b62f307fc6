package traffic

import (
	"strings"

	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// drawings keeps the two canvases between calls of View.
type drawings struct {
	shown, yours  *canvas.Canvas
	width, height int
}

// at lays both canvases out, unless they are that size already.
func (d *drawings) at(m Model, width, height int) {
	if d.shown == nil || d.width != width || d.height != height {
		d.shown = canvas.Best(m.prop, nil, width, height, m.style.Depth).Apart(m.prop, width, height)
		d.yours = canvas.Best(m.prop, nil, width, height, m.style.Depth).Apart(m.prop, width, height)
		d.width, d.height = width, height
	}
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
	betweenCells = 2
	leastRows    = 6
	leastDisc    = 4 // of a bulb
	leastCells   = 24
)

// drawing is the prop as it is lit beside the prop as we light it, captions above; once
// where both are the same. Nil where there is no room.
func (m Model) drawing(width, height int) []string {
	least := leastRows
	if m.prop.Bulb() {
		least = leastDisc
	}
	if width < leastCells || height < least {
		return nil
	}
	shown, yours, shownLevel, yourLevel := m.frames()
	if m.together() {
		m.draw.at(m, width, height-1)
		m.draw.yours.SetFrame(yours, yourLevel)
		return append([]string{m.titled("What you send", m.draw.yours, width)}, used(m.draw.yours)...)
	}
	each := (width - betweenCells) / 2
	m.draw.at(m, each, height-1)
	m.draw.shown.SetFrame(shown, shownLevel)
	m.draw.yours.SetFrame(yours, yourLevel)
	return style.Beside(
		append([]string{m.titled("What your prop shows", m.draw.shown, each)}, used(m.draw.shown)...),
		append([]string{m.titled("What you send", m.draw.yours, each)}, used(m.draw.yours)...), each+betweenCells)
}

// shownDrawing is the prop as it is lit, its caption above; nil where there is no room.
func (m Model) shownDrawing(width, height int) []string {
	if width < leastCells || height < leastRows {
		return nil
	}
	shown, _, level, _ := m.frames()
	m.draw.at(m, width, height-1)
	m.draw.shown.SetFrame(shown, level)
	return append([]string{m.titled("What your prop shows", m.draw.shown, width)}, used(m.draw.shown)...)
}

// used are the lines of a drawing without the free ones above and below it.
func used(c *canvas.Canvas) []string {
	first, after := c.Used()
	return c.Lines()[first:after]
}

// titled is what a drawing is of, and its signs as far as there is room.
func (m Model) titled(text string, c *canvas.Canvas, width int) string {
	scale := c.Scale()
	shared := ""
	if m.style.Depth == style.Letters && c.Crowded() > 0 { // else a pixel has half a cell
		shared = "  " + canvas.SharedSigns
	}
	for _, t := range []string{text + scale + "  " + c.Legend() + shared, text + scale + "  " + c.Legend(), text + scale, strings.TrimPrefix(scale, ", ")} {
		if t = strings.TrimRight(t, " "); style.Width(t) <= width {
			return m.style.Quiet.Render(t)
		}
	}
	return ""
}
