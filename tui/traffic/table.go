package traffic

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/tui/style"
)

// A column of the list. Figures stand right, words left; a column appears
// where the page is at least so wide.
type column struct {
	head  string
	width int
	right bool
	from  int // page width
	text  func(*row) string
}

var columns = []column{
	{"source", 13, false, 0, func(r *row) string { return r.name }},
	{"address", 15, false, 64, func(r *row) string { return r.address }},
	{"universe", 8, false, 0, func(r *row) string { return traffic.Span(r.universes) }},
	{"prio", 4, true, 0, func(r *row) string { return r.priority }},
	{"per s", 5, true, 58, func(r *row) string { return r.rate }},
	{"lost", 5, true, 0, func(r *row) string { return r.loss }},
	{"twice", 5, true, 100, func(r *row) string { return r.twice }},
	{"late", 5, true, 100, func(r *row) string { return r.late }},
	{"jitter", 8, true, 100, func(r *row) string { return r.jitter }},
	{"standing", 12, false, 0, func(r *row) string { return r.standing }},
}

// widths are the columns of a page and how wide each is: what is left goes to
// the name, the universes and the standing.
func widths(width int) (cols []column) {
	left := width - 1 // the last column has no gap behind it
	for _, c := range columns {
		if width >= c.from {
			cols = append(cols, c)
			left -= c.width + 1
		}
	}
	for i := 0; left > 0; i++ {
		for j := range cols {
			most := map[string]int{"source": 28, "universe": 18, "standing": 22}[cols[j].head]
			if left > 0 && cols[j].width < most {
				cols[j].width++
				left--
			}
		}
		if i > width {
			break // all have enough
		}
	}
	return cols
}

// table is the head and as many rows as fit, the chosen one among them.
func (m Model) table(width, height int) []string {
	if height < 2 {
		return nil
	}
	cols := widths(width)
	lines := []string{m.style.Quiet.Render(line(cols, "  ", func(c column) string { return c.head }))}
	if len(m.rows) == 0 {
		return append(lines, "  nobody is heard")
	}
	room := height - 1
	first := max(0, min(m.row-room/2, len(m.rows)-room))
	shown := m.rows[first:min(len(m.rows), first+room)]
	below := len(m.rows) - first - len(shown)
	if below > 0 && room > 1 {
		shown = shown[:len(shown)-1]
		below++
	}
	for i := range shown {
		lines = append(lines, m.tableRow(cols, &shown[i], first+i == m.row))
	}
	if below > 0 && room > 1 {
		lines = append(lines, m.style.Quiet.Render(fmt.Sprintf("  and %d more", below)))
	}
	return lines
}

func (m Model) tableRow(cols []column, r *row, chosen bool) string {
	mark := "  "
	switch {
	case chosen:
		mark = "▸ "
	case r.heavy:
		mark = "! "
	}
	text := line(cols, mark, func(c column) string { return c.text(r) })
	switch {
	case chosen:
		return m.style.Accent.Render(text)
	case r.heavy:
		return m.style.Strong.Render(text)
	}
	return text
}

func line(cols []column, mark string, text func(column) string) string {
	var b strings.Builder
	b.WriteString(mark)
	for _, c := range cols {
		t := style.Cell(text(c), c.width)
		if c.right {
			t = strings.TrimRight(t, " ")
			t = strings.Repeat(" ", max(0, c.width-ansi.StringWidth(t))) + t
		}
		b.WriteString(t)
		b.WriteByte(' ')
	}
	return strings.TrimRight(b.String(), " ")
}
