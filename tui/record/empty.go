package record

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// empty reports whether the page is the list without an entry in it.
func (m Model) empty() bool {
	return m.page == listPage && m.prop != nil && !m.listing() && !m.reading && m.failed == ""
}

// textWidth is how wide the text of a page is that has the prop drawn at its right.
func (m Model) textWidth(width int) int {
	if !m.empty() || width < 76 {
		return width
	}
	return max(44, min(width/2, 96))
}

// filled puts into what the text leaves free that nothing was checked yet, what there is
// to check, and the prop.
func (m Model) filled(text []string, width, rows int) []string {
	for len(text) > 0 && strings.TrimSpace(text[len(text)-1]) == "" {
		text = text[:len(text)-1]
	}
	left := m.textWidth(width)
	out := slices.Clone(text)
	for _, l := range portrait.Words(m.style, left-3, rows-len(out), m.large()...) {
		out = append(out, " "+l)
	}
	if left == width { // narrow: the prop below
		if d := m.drawn.Lines(m.style, m.prop, width-2, rows-len(out)-1); d != nil {
			out = append(out, "")
			for _, l := range d {
				out = append(out, " "+l)
			}
		}
	} else {
		if plan := m.planned(left); len(out)+len(plan) < rows {
			out = append(append(out, ""), plan...)
		}
		out = m.drawn.Beside(m.style, m.prop, out, left, width, rows)
	}
	for len(out) < rows {
		out = append(out, "")
	}
	return out[:rows]
}

// planned is what a check-out holds the prop against.
func (m Model) planned(width int) []string {
	out := []string{" " + m.style.Accent.Render("Planned, not checked yet")}
	row := func(what, value string) {
		out = append(out, style.Cell("   "+style.Cell(what, max(14, min(30, width/2)))+" "+value, width-1))
	}
	for r, run := range m.prop.Runs {
		name := style.Clean(m.prop.RunName(r))
		if len(m.prop.Runs) > 1 {
			name = fmt.Sprintf("%d %s", r+1, name)
		}
		row(name, words.Count(run.Pixels, "pixel"))
	}
	row("Colour order", string(m.prop.Chip.Order))
	row("Data", fmt.Sprintf("from %s on", prop.Place{Universe: m.prop.Address.Universe, Slot: m.prop.Address.Slot}))
	return out
}
