package traffic

import (
	"strings"

	"example.org/ringout/tui/style"
)

// View draws the page, or gives the one it drew before when nothing changed.
func (m Model) View(width, height int) string {
	p := m.page
	if p.version != m.version || p.width != width || p.height != height {
		p.version, p.width, p.height = m.version, width, height
		p.text = style.Fit(strings.Join(m.draw(width, height), "\n"), width, height)
	}
	return p.text
}

func (m Model) draw(width, height int) []string {
	switch m.part {
	case words:
		return m.cut(m.wordLines(width), m.top, height)
	case sources:
		return m.listPage(width, height)
	case slots:
		l := m.look()
		return m.slotPage(&l, width, height, max(1, height/3))
	}
	return m.everything(width, height)
}

// listPage is the list with all that is known of the chosen row below.
func (m Model) listPage(width, height int) []string {
	var below []string
	if r := m.chosen(); r != nil {
		below = append([]string{""}, m.detailLines(r, width)...)
		below = m.cut(below, 0, height/2)
	}
	return append(m.table(width, height-len(below)), below...)
}

func (m Model) detailLines(r *row, width int) []string {
	lines := style.Wrap(m.details(r), width-3)
	for i := range lines {
		lines[i] = "  " + lines[i]
	}
	return lines
}

// slotPage is the caption, who drives as far as there is room for it, and the
// rows.
func (m Model) slotPage(l *look, width, height, legend int) []string {
	lines := []string{m.caption(l)}
	for _, s := range l.legend[:min(legend, len(l.legend))] {
		lines = append(lines, " "+s)
	}
	return append(lines, m.scrolled(m.gridLines(l, width), height-len(lines))...)
}

// scrolled keeps the first line, the ruler, and what fits below it.
func (m Model) scrolled(lines []string, height int) []string {
	if len(lines) <= 1 || height < 2 {
		return nil
	}
	return append(lines[:1:1], m.cut(lines[1:], m.top, height-1)...)
}

// roomy pages have room for empty lines and for details beside everything else.
const roomy = 28

// everything gives a share to each: the sentences first, since they matter
// most; what one does not need goes to the others.
func (m Model) everything(width, height int) []string {
	l := m.look()
	said, grid := m.wordLines(width), m.gridLines(&l, width)
	list := min(len(m.rows)+1, max(3, height/4))
	var detail []string
	gap := []string{}
	if height >= roomy {
		gap = []string{""}
		if r := m.chosen(); r != nil {
			detail = m.cut(m.detailLines(r, width), 0, 4)
		}
	}
	legend := min(len(l.legend), max(1, height/10))
	below := 1 + legend + min(len(grid), max(4, height/3))
	top := min(len(said), max(3, height-list-len(detail)-below-2*len(gap)))
	lines := append(m.cut(said, 0, top), gap...)
	lines = append(lines, m.table(width, list)...)
	lines = append(lines, detail...)
	lines = append(lines, gap...)
	return append(lines, m.slotPage(&l, width, height-len(lines), legend)...)
}
