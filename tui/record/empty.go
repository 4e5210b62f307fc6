package record

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/words"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// empty reports whether the page is the list without an entry in it.
func (m Model) empty() bool {
	return m.isList() && m.prop != nil && !m.listing() && !m.reading && m.failed == ""
}

// filled adds to the text of an empty record that nothing was checked yet, the figures to
// check, and the prop.
func (m Model) filled(text []string, width, rows int) []string {
	left := m.textWidth(width)
	plan := m.planned(left)
	most := min(rows-len(text), rows/2)
	if with := rows - len(text) - len(plan) - 1; left < width && with > digits.Rows { // the table has room too
		most = min(most, with)
	}
	out := append(slices.Clone(text), portrait.Words(m.style, left, most, m.page.large(m).Texts...)...)
	if left == width { // narrow: the prop below
		if d := m.drawn.Lines(m.style, m.prop, width, rows-len(out)-1); d != nil {
			return append(append(out, ""), d...)
		}
	}
	if len(out)+len(plan) < rows {
		out = append(append(out, ""), plan...)
	}
	if left == width {
		return out
	}
	return m.drawn.Beside(m.style, m.prop, out, left, width, rows)
}

// planned are the figures with which a check-out compares the prop.
func (m Model) planned(width int) []string {
	out := []string{m.style.Strong.Render("As planned")}
	row := func(what, value string) {
		out = append(out, style.Cell("  "+style.Cell(what, max(14, min(30, width/2)))+" "+value, width))
	}
	for r, run := range m.prop.Runs {
		name := style.Clean(m.prop.RunName(r))
		if len(m.prop.Runs) > 1 {
			name = fmt.Sprintf("%d %s", r+1, name)
		}
		row(name, words.Count(run.Pixels, "pixel"))
	}
	row("Colour order", string(m.prop.Chip.Order))
	row("Data from", fmt.Sprintf("universe %d slot %d", m.prop.Address.Universe, m.prop.Address.Slot+1))
	return out
}
