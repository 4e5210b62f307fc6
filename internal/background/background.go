// Package background answers one question before it is asked. Bubble Tea asks
// the terminal for its background colour while packages initialise; a terminal
// that never answers would hold up every command, --version too, for seconds.
// No colour of ours depends on the background, so any answer will do.
//
// Packages initialise in the order of their import paths, and this path sorts
// before github.com: import it (for its effect only) wherever Bubble Tea is.
package background

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
