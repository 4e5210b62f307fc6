package traffic

import (
	"example.org/ringout/internal/traffic"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// bulbPage is the page of a prop of one pixel: what is said, the light it shows and the one we send
// drawn beside each other, and both with their values below.
func (m Model) bulbPage(lines []string, width, height int) []string {
	rows := m.bulbRows(width)
	ground := 0 // the drawing ends with a row of it where there are colours
	if m.style.Depth != style.Letters {
		ground = 1
	}
	if d := m.drawing(width-1, height-len(lines)-len(rows)-1-ground); d != nil {
		lines = append(append(lines, gapAfter(lines)...), m.panel(d, width-1, 0)...)
	}
	if n := len(lines); n > 0 && (ground > 0 || !style.Blank(lines[n-1])) {
		lines = append(lines, "")
	}
	return append(lines, indent(rows)...)
}

// bulbRows are a head and a row for the light of a bulb and for what we send, with the values of all
// channels.
func (m Model) bulbRows(width int) []string {
	if len(m.light.Pixels) == 0 {
		return nil
	}
	const label = len("you send") + 2
	one, p := m.light.Pixels[0], paint{values: true}
	lit, sent := "shows", m.area(one.Yours)
	if by := "lit by " + m.litBy(&traffic.Stretch{Pixel: one}); len(by)+2+p.width(m) < width {
		lit = by
	}
	if m.sent() == nil {
		sent = " nothing"
	}
	wide := max(label, style.Width(lit)+2) - 1 // the first cell of a light is ground
	rows := []string{
		m.style.Quiet.Render(style.Cell("", wide+1+m.lightCells()) + m.channelHeads()),
		style.Cell(lit, wide) + m.area(one.Shown),
	}
	if m.together() {
		return rows
	}
	return append(rows, style.Cell("you send", wide)+sent)
}

// area is the light of a bulb with its values, by what fills its disc.
func (m Model) area(c patterns.Colour) string {
	seen, _ := m.seen(c)
	return m.described(m.onGround(canvas.Area(seen, wholeScale, m.style.Depth)), c, paint{values: true})
}
