package record

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/canvas"
)

// A drawing of fewer cells shows no place.
const (
	leastWidth  = 24
	leastHeight = 9
)

// A picture is the prop with the pixels that a check-out found wrong. It is a cache of
// View.
type picture struct {
	of            *prop.Prop
	at, job       int
	width, height int
	lines         []string
}

// picture is the prop with the places still to mend of the entry shown; nil when it does
// not fit.
func (m Model) picture(width, height int) []string {
	if m.prop == nil || width < leastWidth || height < leastHeight {
		return nil
	}
	e, at := m.pictured()
	rank, marked := m.places(e)
	if marked == "" || m.prop.Bulb() {
		return m.drawn.Lines(m.style, m.prop, width, height)
	}
	p := m.placed
	if p.of != m.prop || p.at != at || p.job != m.job || p.width != width || p.height != height {
		c := m.placedIn(width, height)
		names := append(append([]canvas.Name{c.Scale(), canvas.Named("● " + marked)}, c.SignNames()...), canvas.Named("• others"))
		said, _ := canvas.Legend(width, 1, names...)
		before, after, _ := strings.Cut(said[0], "●")
		caption := m.style.Quiet.Render(before) + m.style.Warn.Render("●") + m.style.Quiet.Render(after)
		*p = picture{m.prop, at, m.job, width, height, canvas.Under([]string{caption}, c.SignRows(rank, []string{"•", m.style.Warn.Render("●")}), height)}
	}
	return p.lines
}

// inRows reports whether a prop that has a shape is drawn as rows in so little room.
func (m Model) inRows(width, height int) bool {
	if m.prop == nil || m.prop.Bulb() || canvas.Straight(m.prop) {
		return false
	}
	return height < leastHeight || m.placedIn(width, height).Rows()
}

// placedIn is the drawing below a legend, with an empty row between where that costs no shape.
func (m Model) placedIn(width, height int) *canvas.Canvas {
	const legend = 1
	in := func(rows int) *canvas.Canvas {
		return canvas.Placed(m.prop, nil, width, rows, m.style.Depth).Apart(m.prop, width, rows)
	}
	airy := in(height - legend - 1)
	if all := in(height - legend); all.Rows() != airy.Rows() || all.Crowded() < airy.Crowded() {
		return all
	}
	return airy
}

// pictured is the entry whose places are drawn: the later of two that are compared.
func (m Model) pictured() (record.Entry, int) {
	at := m.at
	if two := m.page.compared(); two != nil {
		at = two[1]
	}
	if at < 0 || at >= len(m.history.Entries) {
		return record.Entry{}, at
	}
	return m.history.Entries[at], at
}

// places are the ranks of the pixels still to mend, and their name; empty when there are
// none on this prop.
func (m Model) places(e record.Entry) (rank []uint8, marked string) {
	rank = make([]uint8, m.prop.Pixels())
	n := 0
	for _, f := range e.Findings {
		if f.Kind == "good" || f.Fixed || f.Pixel < 1 || f.Pixel > len(rank) {
			continue
		}
		rank[f.Pixel-1] = 1
		marked = fmt.Sprintf("pixel %d", f.Pixel)
		n++
	}
	if n > 1 {
		marked = "left to mend"
	}
	if m.worse(rank) {
		marked = "worse"
	}
	return rank, marked
}

// worse marks what the later of two compared check-outs found worse: the pixels on both sides
// of each joint, and those with fewer volts; false if there is nothing.
func (m Model) worse(rank []uint8) (any bool) {
	two := m.page.compared()
	if two == nil {
		return false
	}
	worse := record.WorseJoints(m.history.Entries[two[0]], m.history.Entries[two[1]])
	for r := 1; r < len(m.prop.Runs); r++ {
		if slices.Contains(worse, m.prop.Runs[r-1].Name+" to "+m.prop.Runs[r].Name) {
			first := m.prop.FirstPixel(r)
			rank[first-1], rank[first], any = 1, 1, true
		}
	}
	for _, pixel := range record.WorseVolts(m.history.Entries[two[0]], m.history.Entries[two[1]]) {
		if pixel >= 1 && pixel <= len(rank) {
			rank[pixel-1], any = 1, true
		}
	}
	return any
}
