// Package background answers one question before it is asked. Bubble Tea asks
// the terminal for its background colour while packages initialise; a terminal
// that never answers would hold up every command, --version too, for seconds.
// Our colours take the background from the environment alone (tui/style), so any answer
// will do.
//
// Packages initialise in the order of their import paths, and this path sorts
// before github.com: import it (for its effect only) wherever Bubble Tea is.
package background

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
