package check

import (
	"strings"

	"example.org/ringout/tui/style"
)

// View draws the page.
func (m Model) View(width, height int) string {
	lines, _ := m.page.lines(m, width, height)
	return style.Fit(strings.Join(lines, "\n"), width, height)
}
