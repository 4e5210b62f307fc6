package bench

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/tui/screen"
)

// motion is the state of the moving arrowhead on a page that waits for the person.
type motion struct {
	still   bool // not wanted
	ticking bool // a PulseMsg is on its way
	step    int
}

// pulseEvery is the time between pulses, each of which changes the colour of one
// arrowhead: slow enough not to disturb, and fewer than three changes a second of a small
// area (WCAG 2.3.1).
const pulseEvery = 400 * time.Millisecond

// waits reports whether the page shown waits for the person.
func (m Model) waits() bool {
	w, ok := m.screens[m.at].(screen.Waiter)
	return ok && !m.front && !m.help && !m.far && !m.leaving && !m.motion.still && w.Waiting()
}

// pulsing starts the next pulse while the page waits.
func (m Model) pulsing(cmd tea.Cmd) (Model, tea.Cmd) {
	if m.motion.ticking || !m.waits() {
		return m, cmd
	}
	m.motion.ticking = true
	next := m.motion.step + 1
	return m, tea.Batch(cmd, tea.Tick(pulseEvery, func(time.Time) tea.Msg { return screen.PulseMsg{Step: next} }))
}

// pulse passes a pulse on to the screen, and stops when the page no longer waits.
func (m Model) pulse(p screen.PulseMsg) (Model, tea.Cmd) {
	m.motion.ticking, m.motion.step = false, p.Step
	if !m.waits() {
		p.Step = -1
	}
	return m.one(p)
}

// setStill ends or allows motion, and remembers it.
func (m Model) setStill(still bool) (Model, tea.Cmd) {
	m.motion.still = still
	if m.opt.SetStill != nil {
		m.opt.SetStill(still)
	}
	if still {
		return m.one(screen.PulseMsg{Step: -1})
	}
	return m, nil
}
