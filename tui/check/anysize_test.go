package check

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"
)

// A window may be of any size, down to one cell: it is full, and the program goes on.
func TestPagesInAnyWindow(t *testing.T) {
	for name, v := range visits {
		e := v.open(t, termenv.Ascii)
		for _, width := range []int{1, 2, 5, 13, 30, 90, 240} {
			for _, height := range []int{1, 2, 3, 5, 10} {
				e.feed(tea.WindowSizeMsg{Width: width, Height: height})
				lines := strings.Split(e.m.View(width, height), "\n")
				require.Len(t, lines, height, "%s %dx%d", name, width, height)
				for _, l := range lines {
					require.Equal(t, width, ansi.StringWidth(l), "%s %dx%d: %q", name, width, height, l)
				}
			}
		}
	}
}
