package light

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// setMark notes that the newest pixel of a count is the last one that lights.
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

// marked says what a mark means: how many light, and where to look if that is
// fewer than planned. Pixels of empty parts light nothing and are not counted.
func marked(p *prop.Prop, count int, reverse bool) string {
	on, all := p.Lights()
	if reverse {
		slices.Reverse(on)
	}
	lit, last, next := 0, -1, -1 // next is the first that should light behind the mark
	for i, light := range on {
		switch {
		case light && i < count:
			lit, last = lit+1, i
		case light && next < 0:
			next = i
		}
	}
	switch {
	case next < 0 && count < len(on):
		return fmt.Sprintf("Marked: all %d light; the pixels behind it are left empty.", all)
	case next < 0:
		return fmt.Sprintf("Marked: all %d light. Are there dark ones after the last? Then raise the count in Set-up.", all)
	case lit == 0:
		return "Marked in a part left empty, before any pixel lights: go on counting."
	case reverse:
		return fmt.Sprintf("Marked: %d of %d, counted from the far end.", lit, all)
	}
	r, at := p.Find(last)
	to, behind := p.Find(next)
	if r != to {
		return fmt.Sprintf("Marked: %d of %d light. It ends at the joint from %s to %s: look at its data wire, both ends.",
			lit, all, name(p, to-1), name(p, to))
	}
	look := "both and the joint between"
	if next > last+1 {
		look = "these and the empty ones between, which pass data on too"
	}
	return fmt.Sprintf("Marked: %d of %d light. Data stops in %s between its pixels %d and %d: look at %s.",
		lit, all, name(p, r), at+1, behind+1, look)
}

func name(p *prop.Prop, run int) string {
	if n := style.Clean(p.Runs[run].Name); n != "" {
		return n
	}
	return fmt.Sprintf("run %d", run+1)
}
