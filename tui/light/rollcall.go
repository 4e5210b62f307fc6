package light

import (
	"fmt"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// quicker is the looks of a roll call that counts the prop in less time than
// counting up takes; 0 when it does not, or nothing is being counted.
func (m Model) quicker() int {
	if m.prop == nil || m.sub != nil || m.dark || m.pattern().ID != patterns.CountUp.ID {
		return 0
	}
	return screen.QuickCall(m.prop.Pixels())
}

// rollCall offers it.
func (m Model) rollCall() string {
	looks := m.quicker()
	if looks == 0 || m.mark > 0 {
		return ""
	}
	return fmt.Sprintf("Quicker: a roll call counts %d pixels in %d looks; o begins it.", m.prop.Pixels(), looks)
}
