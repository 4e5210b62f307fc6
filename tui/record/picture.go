package record

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/portrait"
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
	compared      string // the entries that are
	width, height int
	lines         []string
}

// picture is the prop with the places still to mend of the entry shown, or with the numbers of its runs;
// nil when it does not fit.
func (m Model) picture(width, height int) []string {
	if m.prop == nil || width < leastWidth || height < leastHeight {
		return nil
	}
	e, at := m.pictured()
	rank, marked := m.places(e)
	if m.prop.Bulb() || marked == "" && canvas.Straight(m.prop) {
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

// legendRows are those of every legend: a drawing begins in the same row whatever it says.
const legendRows = 2

// placesDrawn is the prop with marked pixels, or with the numbers of its runs, below its legend.
func (m Model) placesDrawn(rank []uint8, marked string, width, height int) []string {
	c := m.placedIn(width, height-legendRows)
	first := []canvas.Name{c.PlanName(m.prop.Pixels())}
	second := c.SignNames()
	var lines []string
	switch {
	case marked == "":
		rank, signs := portrait.Beginnings(m.style, m.prop)
		if lines = c.SignRows(rank, signs); portrait.Numbers(c, lines, signs) {
			first = append(first, portrait.Begins(m.prop))
		} else {
			lines = c.SignRows(make([]uint8, len(rank)), signs[:1])
		}
	default:
		lines = c.SignRows(rank, []string{canvas.PlanSign, m.faultMark(rank)})
		if first = append(first, m.marked(marked)); c.Per() == 1 {
			first, second = first[1:], append(second, canvas.Named(canvas.PlanSign+" others"))
		}
	}
	return canvas.Under(m.legend(first, second, m.faultMark(rank), width), lines, height)
}

// legend is a legend of two rows: what is shown, then the direction of data and all other signs.
func (m Model) legend(first, second []canvas.Name, fault string, width int) []string {
	one, fits := canvas.Legend(width, 1, first...)
	two, all := canvas.Legend(width, 1, second...)
	out := append(one, two...)
	if !fits || !all {
		out, _ = canvas.Legend(width, legendRows, append(first, second...)...)
	}
	for i, l := range out {
		before, after, of := strings.Cut(l, faultSign)
		if out[i] = m.style.Quiet.Render(before); of {
			out[i] += fault + m.style.Quiet.Render(after)
		}
	}
	return out
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

// faultMark is the sign of the places of an entry as Check has it.
func (m Model) faultMark(rank []uint8) string {
	return canvas.Bad(m.style, faultSign, len(rank)-bytes.Count(rank, []byte{0}))
}

// fewMarks is the most places that a legend names.
const fewMarks = 4

// marked is a name of the marks in a legend, with the pixels and joints where they say what is worse and
// are few.
func (m Model) marked(name string) canvas.Name {
	out := canvas.Named(faultSign + " " + name)
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
