package light

import (
	"fmt"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// lit is the prop that the pattern runs on: the whole prop, or a section of it.
func (m Model) lit() *prop.Prop {
	if m.sub != nil {
		return m.sub
	}
	return m.prop
}

// nextPart goes from the whole prop to its runs, its parts, and back.
func (m Model) nextPart() Model {
	if m.prop == nil {
		return m
	}
	all := m.prop.Sections()
	if len(all) == 0 {
		m.note = "The prop has one run and no named parts: it is lit as a whole."
		return m
	}
	m.part = (m.part + 1) % (len(all) + 1)
	m.section = section{part: m.part}
	if m.part > 0 {
		s := all[m.part-1]
		if sub, err := prop.Sub(m.prop, s); err == nil { // a section of a good prop is one
			m.sub, m.first = sub, s.First
		}
	}
	m.step, m.mark = 0, 0
	m.serial++
	return m
}

// choosePart tells a drawing which part is lit.
func (m Model) choosePart(c *canvas.Canvas) {
	if m.sub == nil {
		c.SetPart(0, 0)
		return
	}
	c.SetPart(m.first, m.sub.Pixels())
}

// partName is the name of the lit section.
func (m Model) partName() string {
	if m.sub == nil {
		return "whole prop"
	}
	return style.Clean(m.prop.Sections()[m.part-1].Name)
}

// partWords says where the lit section lies; empty for the whole prop.
func (m Model) partWords() string {
	if m.sub == nil {
		return ""
	}
	text := fmt.Sprintf("Part: %s, %d\u00a0to\u00a0%d of the prop", m.partName(), m.first+1, m.first+m.sub.Pixels())
	if m.countsInside() {
		text += ", counted from 1"
	}
	return text + "."
}

// countsInside reports whether the pattern counts from the start of the section.
func (m Model) countsInside() bool {
	return m.pattern().Counts || m.pattern().ID == patterns.Ruler.ID
}
