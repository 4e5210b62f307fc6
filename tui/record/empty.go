package record

import (
	"fmt"

	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// empty reports whether the page is the list without an entry in it.
func (m Model) empty() bool {
	return m.isList() && m.prop != nil && !m.listing() && !m.reading && m.failed == ""
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
