package record

import (
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
)

// FarView is how the last check-out ended.
func (m Model) FarView() screen.FarView { return screen.FarView{Texts: m.large()} }

// large is the same for the page.
func (m Model) large() []string {
	if m.path == "" {
		return record.History{}.Large()
	}
	return m.history.Large()
}
