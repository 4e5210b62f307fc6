package check

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"
)

// windows are as small as they come, and wide or high ones.
func windows(try func(width, height int)) {
	for _, width := range []int{1, 2, 5, 13, 30, 90, 240} {
		for _, height := range []int{1, 2, 3, 5, 10} {
			try(width, height)
		}
	}
}

// full: a page has as many rows and columns as its window.
func full(t *testing.T, name, view string, width, height int) {
	t.Helper()
	lines := strings.Split(view, "\n")
	require.Len(t, lines, height, "%s %dx%d", name, width, height)
	for _, l := range lines {
		require.Equal(t, width, ansi.StringWidth(l), "%s %dx%d: %q", name, width, height, l)
	}
}

// A window may be of any size, down to one cell: it is full, and the program goes on.
func TestPagesInAnyWindow(t *testing.T) {
	for name, v := range visits {
		e := v.open(t, termenv.Ascii)
		windows(func(width, height int) {
			e.feed(tea.WindowSizeMsg{Width: width, Height: height})
			full(t, name, e.m.View(width, height), width, height)
		})
	}
}

// anyWindow is the same for a page of a camera.
func (s *studio) anyWindow(t *testing.T) {
	windows(func(width, height int) {
		s.send(tea.WindowSizeMsg{Width: width, Height: height})
		full(t, t.Name(), s.m.View(width, height), width, height)
	})
}
