package light

import (
	"slices"
	"strings"

	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// Sizes and positions on the page, in cells.
const (
	edge      = 2  // left of everything, and free at the right
	sideWidth = 32 // list of patterns and settings
	listTop   = 0  // row of the first pattern
)

// leastDrawing is how many rows the words leave to the drawing and its legend: two drawings
// beside a list are narrow and need more.
func (m Model) leastDrawing() int {
	switch {
	case m.demo && !m.compact():
		return 11
	case m.demo:
		return besideRows
	}
	return 7
}

// besideRows is the height of two drawings beside each other in a narrow window with their legend and titles:
// two rows for each of three runs, at two pixels a mark.
const besideRows = 8

// compact reports whether the page has no room for the list beside the drawing.
func (m Model) compact() bool { return m.size.Width < 80 }

// faceRows is the largest height of the large words, which grows with the window.
func (m Model) faceRows() int {
	if m.compact() {
		return digits.Rows
	}
	return max(1, min(5, (m.size.Height-1)/9)) * digits.Rows
}

// View draws the page.
func (m Model) View(width, height int) string {
	if m.prop == nil {
		return style.Fit(strings.Join(portrait.NoPropPage(m.style, width, height, "This page lights a prop pixel by pixel, to count and to compare."), "\n"), width, height)
	}
	if width < 80 {
		return m.narrow(width, height)
	}
	right := width - sideWidth - edge
	band := m.band(right, height-m.leastDrawing())
	drawn := m.drawing(right, min(height-len(band), m.drawingRows(right, height)))
	drawn, above := canvas.Panel(m.style, drawn, right, min(1, height-len(band)-len(drawn)))
	m.draw.top = len(band) + above
	return beside(m.fittedSide(height), append(indented(band, 1, right+2), drawn...), width)
}

// beside is the list and the rest of the page, lines of which are as wide as the large words and the
// panel at their right, in so many cells.
func beside(side, page []string, width int) string {
	var b strings.Builder
	b.Grow(len(side) * 4 * width)
	for i, l := range side {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(l)
		free := width - sideWidth + 1
		if i < len(page) {
			b.WriteString(page[i])
			free = 1
		}
		for range free {
			b.WriteByte(' ')
		}
	}
	return b.String()
}

// narrowHead is how many rows the title and the settings of a narrow page take, or both in one
// and an empty one.
const narrowHead = 2

// narrow is the page without a list: the settings are above the rest.
func (m Model) narrow(width, height int) string {
	inner := width - 2*edge
	now, settings := m.steps(), style.Wrap(strings.Join(m.settingWords(), ", "), inner)
	if m.unlit() { // the level and the pace are those of no light now
		now, settings = "dark", []string{""}
	}
	lines := []string{m.style.AccentSign().Render(m.title()) + "  " + now}
	if one := lines[0] + "  " + settings[0]; len(settings) == 1 && style.Width(one) <= inner {
		lines[0], settings = one, nil
	}
	if lines = append(lines, settings...); len(lines) < narrowHead && !m.demo { // the drawing has the same room below either
		lines = append(lines, "")
	}
	free, head := height-len(lines), len(lines)
	close := lines[head-1] != "" // no empty row is above the large words
	band := m.band(inner, free-m.leastDrawing())
	if last := len(band) - 1; m.demo && height-head-len(band) < besideRows && band[last].empty() { // a mark of fewer pixels is worth more
		band = band[:last]
	}
	lines = append(style.Indent(lines, edge), indented(band, edge, width)...)
	rows := min(height-len(lines), m.drawingRows(inner, free))
	if m.onePixel() && close { // a disc may be smaller, for the row above the large words
		rows = min(rows, height-len(lines)-1)
	}
	drawn := m.drawing(inner, rows)
	if len(lines)+len(drawn) < height && close {
		lines = slices.Insert(lines, head, "")
	}
	drawn, above := canvas.Panel(m.style, drawn, inner, min(1, height-len(lines)-len(drawn)))
	m.draw.top = len(lines) + above
	page := append(lines, style.Indent(drawn, edge-1)...)
	return style.Fit(strings.Join(page, "\n"), width, height)
}
