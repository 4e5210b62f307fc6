package record

import (
	"fmt"
	"slices"

	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// Widths, in cells: of a prop in rows, two groups of ten pixels or of five marks with their number; of a text
// that has the prop at its right; of one in which the columns of two check-outs stand.
const (
	rowsWidth = 28
	leastText = 44
	tableText = 72
	mostRows  = 64 // a prop in rows is no easier to read in more
)

// columns are the widths of a page's text and of the prop at its right, 0 where that has no room. They depend
// on the window and the prop alone: the drawing stays where it is, from page to page.
func (m Model) columns() (text, prop int) {
	width := m.size.Width - 2*edge
	high := m.size.Height - m.pictureTop()
	if m.prop == nil || high < leastHeight || width < leastText+portrait.Gap+rowsWidth {
		return width, 0
	}
	room := width - portrait.Gap - tableText
	if shape := min(room, 2*high+4); shape >= leastWidth && m.shaped(shape, high) { // a cell is twice as high as wide; signs of the way stand at the sides
		return width - portrait.Gap - shape, shape
	}
	prop = max(rowsWidth, min(room, mostRows))
	return width - portrait.Gap - prop, prop
}

// shaped reports whether a prop has its shape in so much room, or none that is drawn.
func (m Model) shaped(width, height int) bool {
	if m.prop.Bulb() || canvas.Straight(m.prop) {
		return true
	}
	return m.fits(fmt.Sprintf("%p %d %d", m.prop, width, height), func() bool { return !m.placedIn(width, height-1).Rows() })
}

// pictureTop is the row of the view where the drawing begins: below the highest head of a page.
func (m Model) pictureTop() int {
	if m.size.Height < largeHeight {
		return 2
	}
	return 2 + m.largeRows()
}

// largeRows is the room for large words with the empty row above them.
func (m Model) largeRows() int { return 1 + digits.HeadRows(m.size.Height) }

// head is the lines above the text, from a cache: it is needed several times for a view,
// and large letters take time.
func (m Model) head(width int) []string {
	if m.typing != nil || m.prop == nil {
		return m.layHead(width)
	}
	of := m.pageKey(width) + fmt.Sprint(m.marks, m.size, m.asking)
	if m.headed.of != of {
		*m.headed = layoutCache{of, m.layHead(width)}
	}
	return slices.Clone(m.headed.lines)
}

// layHead is the title, and the result of the page in large letters.
func (m Model) layHead(width int) []string {
	title := m.page.title(m)
	if m.reading && len(m.history.Entries) == 0 {
		title += "  " + m.style.Quiet.Render("reading")
	}
	out := append(append([]string{style.Cell(title, width)}, m.largely(width)...), "")
	if _, prop := m.columns(); prop > 0 { // the text begins where the drawing does
		out = append(out, make([]string, max(0, m.pictureTop()-len(out)))...)
	}
	return out
}

// above is what stands above the list: the line being typed, or the reminders.
func (m Model) above(width int) []string {
	var out []string
	switch {
	case m.typing != nil:
		out = m.typing.view(m.style, width)
	case m.isList() && !(m.empty() && m.size.Height < airyHeight): // the text says it there
		out = m.dueInShort(width)
	}
	if len(out) > 0 {
		out = append(out, "")
	}
	return out
}

// largely is the typed text, or the result of the page, in large letters.
func (m Model) largely(width int) []string {
	if m.prop == nil || m.size.Height < largeHeight {
		return nil
	}
	if m.typing != nil && m.typing.text.String() != "" {
		return portrait.Head(m.style, width, m.largeRows(), m.typing.large()...)
	}
	says := m.page.large(m)
	return portrait.Head(m.style.ForLarge(says.Bad), width, m.largeRows(), says.Texts...)
}
