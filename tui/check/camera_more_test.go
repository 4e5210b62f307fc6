package check

import (
	"path/filepath"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.org/ringout/patterns"
)

// What one film or kept folder leaves unread, another one adds.
func TestAnotherFilmAddsToWhatWasRead(t *testing.T) {
	folders := []string{filepath.Join(t.TempDir(), "first"), filepath.Join(t.TempDir(), "second")}
	white := func(place int, c patterns.Colour) patterns.Colour {
		if place == 19 && !c.Dark() {
			return patterns.Colour{R: 255, G: 255, B: 255} // stands for no word: unread
		}
		return c
	}
	var s *studio
	typed := func(text string) {
		for _, r := range text {
			s.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
		}
		s.send(named("enter"))
	}
	choose := func() {
		s.send(named(s.line("Prove every pixel")))
		s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
	}
	sight := func() {
		s.until("sight", func() bool { p, ok := s.m.page.(aimPage); return ok && p.view.Sight.W > 0 })
	}
	mapped := func() { s.until("map", func() bool { return on[mapPage](s.m) }) }
	e := &easel{}
	for i, folder := range folders {
		if e = (&easel{}); i == 0 {
			e.change = white
		}
		s = studioOf(t, "porthole", e, termenv.Ascii)
		choose()
		s.send(named("4"))
		typed(folder)
		s.send(named("1"))
		sight()
		s.mark(e)
		mapped()
	}
	s = studioOf(t, "porthole", e, termenv.Ascii)
	s.m.opt.OpenEye = nil // as it is outside tests
	choose()
	s.send(named("3"))
	typed(folders[0])
	sight()
	s.send(named("enter"))
	mapped()
	require.Contains(t, s.text(), "Not read: 1 of 144 places")
	require.Contains(t, s.text(), "1 Add a film or kept folder")
	s.send(named("1"))
	typed(folders[1])
	sight()
	s.mark(e) // two more, around the place that is unread
	mapped()
	require.Contains(t, s.text(), "All 144 places were read and are as planned. Left: ")
}
