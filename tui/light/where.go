package light

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"
)

// where names the run and place of a pixel, and its first slot.
func (m Model) where(pixel int) string {
	r, at := m.prop.Find(pixel)
	if r < 0 || m.patch == nil {
		return ""
	}
	p := m.patch.At(pixel, 0)
	if len(m.prop.Runs) > 1 {
		return fmt.Sprintf("Pixel %d of %s (%d of the prop), universe %d slot %d.", at+1, name(m.prop, r), pixel+1, p.Universe, p.Slot+1)
	}
	return fmt.Sprintf("Pixel %d: universe %d slot %d.", pixel+1, p.Universe, p.Slot+1)
}

// placed is the run and place of the pixel of the step, and its first slot; empty for patterns without
// one.
func (m Model) placed() string {
	if p := m.pattern(); p.Number == nil || p.Counts || m.prop == nil || m.dark {
		return ""
	}
	pixel := m.number() - 1
	r, at := m.prop.Find(pixel)
	if r < 0 || m.patch == nil {
		return ""
	}
	if p := m.patch.At(pixel, 0); len(m.prop.Runs) > 1 { // the large words have its number in the prop
		return fmt.Sprintf("Pixel %d of %s, universe %d slot %d.", at+1, name(m.prop, r), p.Universe, p.Slot+1)
	}
	return m.where(pixel)
}

// click handles a click on a drawing: it names the pixel, and steps there if the pattern
// has single steps.
func (m Model) click(e tea.MouseMsg) Model {
	pixel, ok := m.clicked(e.X, e.Y)
	if !ok {
		return m
	}
	if step, n := pixel-m.first, m.lit().Pixels(); m.pattern().ByPixel && step >= 0 && step < n {
		if m.reverse {
			step = n - 1 - step
		}
		m = m.goTo(step)
	}
	if m.placed() == "" {
		m.note = m.where(pixel)
	}
	return m
}

// clicked is the planned pixel at a place of the page.
func (m Model) clicked(x, y int) (pixel int, ok bool) {
	should, does := m.draw.should, m.draw.does
	if m.prop == nil || should.c == nil {
		return 0, false
	}
	left, top := m.pictureAt()
	if run, at, ok := should.c.At(x-left, y-top); ok {
		return m.prop.FirstPixel(run) + at, true
	}
	if !m.demo || does.c == nil {
		return 0, false
	}
	right := m.size.Width - edge - does.width
	if m.draw.next > 0 {
		right = left
	}
	run, at, ok := does.c.At(x-right, y-top-m.draw.next)
	if !ok || at >= m.prop.Runs[run].Pixels {
		return 0, false // a pixel that the plan does not have
	}
	return m.prop.FirstPixel(run) + at, true
}

// pictureAt is the position of the first cell of the first drawing; its free lines above
// are not shown.
func (m Model) pictureAt() (left, top int) {
	first, _ := m.used()
	left, top = sideWidth, m.draw.top+m.draw.lead-first
	if m.compact() {
		left = edge
	}
	return left, top
}
