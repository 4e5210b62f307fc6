package light

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// setMark marks the newest pixel of a count as the last one that lights.
func (m Model) setMark() Model {
	if m.pattern().ID != patterns.CountUp.ID {
		m.note = "Space marks a count: choose " + patterns.CountUp.Name + " first."
		return m
	}
	if m.prop == nil {
		return m
	}
	m = m.goTo(m.now())
	m.mark = m.pattern().Number(m.settings(), m.moment())
	return m
}

// marked is the meaning of a mark: the number of pixels that light, and where to look if
// that is less than planned. Pixels of empty parts are not counted.
func marked(p *prop.Prop, count int, reverse bool) string {
	_, all := p.Lights()
	lit, last, next := counted(p, count, reverse)
	switch {
	case next < 0 && count < p.Pixels():
		return fmt.Sprintf("Marked: all %d light; the pixels after it are left empty.", all)
	case next < 0:
		return fmt.Sprintf("Marked: all %d light. Are there dark ones after the last? Then raise the count in Set-up.", all)
	case lit == 0:
		return "Marked in a part left empty, before any pixel lights: go on counting."
	case reverse:
		return fmt.Sprintf("Marked: %d of %d, counted from the far end. Count from the data end (r) to find where the data stops.", lit, all)
	}
	r, at := p.Find(last)
	to, behind := p.Find(next)
	if r != to {
		return fmt.Sprintf("Marked: %d of %d light. It ends between %s and %s. Power off, then look at the joint's data wire.",
			lit, all, name(p, to-1), name(p, to))
	}
	look := "both and the joint between"
	if next > last+1 {
		look = "these and the empty ones between, which pass data on too"
	}
	return fmt.Sprintf("Marked: %d of %d light. Data stops in %s between its pixels %d and %d. Power off, then look at %s.",
		lit, all, name(p, r), at+1, behind+1, look)
}

// counted is the number of pixels that light up to a mark, the last of them, and the next
// one that should light; -1 for none.
func counted(p *prop.Prop, count int, reverse bool) (lit, last, next int) {
	on, _ := p.Lights()
	if reverse {
		slices.Reverse(on)
	}
	last, next = -1, -1
	for i, light := range on {
		switch {
		case light && i < count:
			lit, last = lit+1, i
		case light && next < 0:
			next = i
		}
	}
	return lit, last, next
}

// markedPixel is the last pixel that lights by the mark, counted in the whole prop; -1
// for none.
func (m Model) markedPixel() int {
	if m.mark == 0 || m.prop == nil {
		return -1
	}
	_, last, _ := counted(m.lit(), m.mark, m.reverse)
	switch {
	case last < 0:
		return -1
	case m.reverse:
		last = m.lit().Pixels() - 1 - last
	}
	if m.sub != nil {
		last += m.first
	}
	return last
}

func name(p *prop.Prop, run int) string {
	return style.Clean(p.RunName(run))
}
