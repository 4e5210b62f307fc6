package light

import (
	"fmt"

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
// fewer than planned.
func marked(p *prop.Prop, count int, reverse bool) string {
	all := p.Pixels()
	if count >= all {
		return fmt.Sprintf("Marked: all %d light. Are there dark ones after the last? Then raise the count in Set-up.", all)
	}
	if reverse {
		return fmt.Sprintf("Marked: %d of %d, counted from the far end.", count, all)
	}
	r, _ := p.Find(count - 1)
	next, at := p.Find(count)
	if r != next {
		return fmt.Sprintf("Marked: %d of %d light. It ends at the joint from %s to %s: look at its data wire, both ends.",
			count, all, name(p, r), name(p, next))
	}
	return fmt.Sprintf("Marked: %d of %d light. Data stops in %s between its pixels %d and %d: look at both and the joint between.",
		count, all, name(p, r), at, at+1)
}

func name(p *prop.Prop, run int) string {
	if n := style.Clean(p.Runs[run].Name); n != "" {
		return n
	}
	return fmt.Sprintf("run %d", run+1)
}
