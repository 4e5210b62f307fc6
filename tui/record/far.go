package record

import (
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
)

// Far is how the last check-out ended.
func (m Model) Far() screen.Far { return screen.Far{Texts: m.large()} }

// large is the same for the page.
func (m Model) large() []string {
	if m.path == "" {
		return record.History{}.Large()
	}
	return m.history.Large()
}
