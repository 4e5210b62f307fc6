package light

import (
	"fmt"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// quicker is the number of looks of a roll call, if it is quicker than counting up; 0 if
// not, or if nothing is being counted.
func (m Model) quicker() int {
	if m.prop == nil || m.sub != nil || m.dark || m.pattern().ID != patterns.CountUp.ID {
		return 0
	}
	return screen.QuickCall(m.prop.Pixels())
}

// rollCall is the sentence that offers a roll call; empty for none.
func (m Model) rollCall() string {
	looks := m.quicker()
	if looks == 0 || m.mark > 0 {
		return ""
	}
	return fmt.Sprintf("`o` begins a roll call: %d pixels in %d looks.", m.prop.Pixels(), looks)
}
