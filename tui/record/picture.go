package record

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// A drawing of fewer cells shows no place.
const (
	leastWidth  = 24
	leastHeight = 6
)

// A picture is the prop with the pixels that a check-out found wrong. It is a cache of
// View.
type picture struct {
	of            *prop.Prop
	at, job       int
	compared      string // the entries that are
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
	if now := (picture{m.prop, at, m.job, fmt.Sprint(m.page.compared()), width, height, p.lines}); !p.same(now) {
		*p = now
		p.lines = m.placesDrawn(rank, marked, width, height)
	}
	return p.lines
}

// same reports whether both are of one thing in one size.
func (p *picture) same(q picture) bool {
	return p.of == q.of && p.at == q.at && p.job == q.job && p.compared == q.compared && p.width == q.width && p.height == q.height
}

// placesDrawn is the prop with marked pixels below its legend.
func (m Model) placesDrawn(rank []uint8, marked string, width, height int) []string {
	names := func(c *canvas.Canvas) []canvas.Name {
		named := append([]canvas.Name{m.markIn(c, marked, width)}, c.SignNames()...)
		if c.Per() > 1 {
			return append([]canvas.Name{canvas.Named(c.PlanName(m.prop.Pixels()).Brief)}, named...)
		}
		return append(named, canvas.Named(canvas.PlanSign+" others"))
	}
	below := func(legend int) *canvas.Canvas { return m.placedIn(width, height-legend) }
	said := canvas.LegendRows(2, below, func(c *canvas.Canvas, _ int) (int, []canvas.Name) { return width, names(c) })
	if one, all := canvas.Legend(width, 1, names(below(1))...); all && (marked != worseMark || strings.Contains(one[0], m.marked(marked).Full)) {
		said = 1 // no row for what is left over
	}
	c := below(said)
	legend, _ := canvas.Legend(width, said, names(c)...)
	for i, l := range legend {
		before, after, of := strings.Cut(l, faultSign)
		if legend[i] = m.style.Quiet.Render(before); of {
			legend[i] += m.style.Warn.Render(faultSign) + m.style.Quiet.Render(after)
		}
	}
	return canvas.Under(legend, c.SignRows(rank, []string{canvas.PlanSign, m.style.Warn.Render(faultSign)}), height)
}

// markIn is the name of the marks in a legend of a width: in short where the way then has its full name, as
// on other pages.
func (m Model) markIn(c *canvas.Canvas, marked string, width int) canvas.Name {
	mark, rest := m.marked(marked), "    "+c.Way().Full+canvas.PlanSign+" others"
	if marked != worseMark && c.Scale().Full == "" && style.Width(mark.Full+rest) > width && style.Width(mark.Brief+rest) <= width {
		return canvas.Named(mark.Brief)
	}
	return mark
}

// inRows reports whether a prop that has a shape is drawn as rows in so little room.
func (m Model) inRows(width, height int) bool {
	if m.prop == nil || m.prop.Bulb() || canvas.Straight(m.prop) {
		return false
	}
	return height < leastHeight || m.placedIn(width, height-1).Rows()
}

// placedIn is the drawing in so many rows, or in one less, for an empty one above, where that costs no shape.
func (m Model) placedIn(width, height int) *canvas.Canvas {
	in := func(rows int) *canvas.Canvas {
		return canvas.Placed(m.prop, nil, width, rows, m.style.Depth).Apart(m.prop, width, rows)
	}
	airy := in(height - 1)
	if all := in(height); all.Rows() != airy.Rows() || all.Crowded() < airy.Crowded() {
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
		marked = worseMark
	}
	return rank, marked
}

// worseMark names the marks of what is worse than in an earlier check-out.
const worseMark = "worse"

// faultSign is the sign of a place that an entry names.
const faultSign = "×"

// fewMarks is the most places that a legend names.
const fewMarks = 4

// marked is a name of the marks in a legend, with the pixels and joints where they say what is worse and
// are few.
func (m Model) marked(name string) canvas.Name {
	out := canvas.Name{Full: faultSign + " " + name, Brief: faultSign + " " + strings.TrimPrefix(name, "pixel ")}
	if name != worseMark {
		return out
	}
	e, _ := m.pictured()
	rank, _ := m.places(e)
	joints := m.worseJoints()
	var at []string
	for i, is := range rank {
		switch {
		case is == 0 || i > 0 && slices.Contains(joints, i):
		case slices.Contains(joints, i+1):
			at = append(at, fmt.Sprintf("joint %d/%d", i+1, i+2))
		default:
			at = append(at, fmt.Sprint(i+1))
		}
	}
	if len(at) > fewMarks {
		return out
	}
	return canvas.Name{Full: faultSign + " worse: " + strings.Join(at, ", "), Brief: out.Full}
}

// worseJoints are the first pixels, from 0, after each joint that is worse than before.
func (m Model) worseJoints() (first []int) {
	two := m.page.compared()
	if two == nil {
		return nil
	}
	worse := record.WorseJoints(m.history.Entries[two[0]], m.history.Entries[two[1]])
	for r := 1; r < len(m.prop.Runs); r++ {
		if slices.Contains(worse, m.prop.Runs[r-1].Name+" to "+m.prop.Runs[r].Name) {
			first = append(first, m.prop.FirstPixel(r))
		}
	}
	return first
}

// worse marks what the later of two check-outs found worse: the pixels on both sides of each joint, and
// those with fewer volts; false if there is nothing.
func (m Model) worse(rank []uint8) (any bool) {
	for _, first := range m.worseJoints() {
		rank[first-1], rank[first], any = 1, 1, true
	}
	two := m.page.compared()
	if two == nil {
		return any
	}
	for _, pixel := range record.WorseVolts(m.history.Entries[two[0]], m.history.Entries[two[1]]) {
		if pixel >= 1 && pixel <= len(rank) {
			rank[pixel-1], any = 1, true
		}
	}
	return any
}
