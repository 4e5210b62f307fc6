package tui

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
)

// A window may be of any size, down to one cell: it is full, and the program goes on.
func TestStatesInAnyWindow(t *testing.T) {
	for _, s := range states {
		t.Run(s.name, func(t *testing.T) {
			inBubble(t, func(t *testing.T) {
				w := walk(t, s, 80, 24, termenv.Ascii)
				defer w.Close()
				for _, width := range []int{1, 2, 5, 13, 30, 90, 240} {
					for _, height := range []int{1, 2, 3, 5, 10} {
						w.feed(tea.WindowSizeMsg{Width: width, Height: height})
						checkView(t, w.m, width, height)
					}
				}
			})
		})
	}
}
