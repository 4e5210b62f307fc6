package check

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.org/ringout/patterns"
)

// capture writes a page at every size into the folder that RINGOUT_CAPTURES names, for
// .ci/pictures; the page is then of the size it was.
func (s *studio) capture(name string, depth termenv.Profile, was tea.WindowSizeMsg) {
	to, palette := os.Getenv("RINGOUT_CAPTURES"), map[termenv.Profile]string{termenv.TrueColor: "true", termenv.ANSI256: "256", termenv.ANSI: "16", termenv.Ascii: "none"}[depth]
	if to == "" || was.Width < 80 {
		return
	}
	for _, size := range [][2]int{{50, 20}, {80, 24}, {120, 40}, {160, 50}, {200, 60}} {
		s.send(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
		file := fmt.Sprintf("%s-camera-%s-%dx%d.ansi", palette, name, size[0], size[1])
		require.NoError(s.t, os.WriteFile(filepath.Join(to, file), []byte(s.m.View(size[0], rowsOf(size))), 0o644))
	}
	s.send(was)
}

// What the pages of a camera hint at acts there: each page has a studio of its own, as
// keys begin work.
func TestNoHintForADeadKeyAtTheCamera(t *testing.T) {
	for name, open := range map[string]func(s *studio, e *easel){
		"source": func(s *studio, _ *easel) {
			s.send(named(s.line("Prove every pixel")))
			s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
		},
		"aim":  func(s *studio, _ *easel) { s.aimed() },
		"mark": func(s *studio, _ *easel) { s.aimed(); s.send(named("enter")) },
		"lost": func(s *studio, _ *easel) {
			s.m = s.m.lost(errors.New("the pictures of the phone ended: start it again"))
		},
		"run": func(s *studio, e *easel) {
			s.aimed()
			s.mark(e)
			s.until("run", func() bool { p, ok := s.m.page.(runPage); return ok && p.proof.Look == 6 })
		},
		"map": func(s *studio, e *easel) {
			s.aimed()
			s.mark(e)
			s.until("map", func() bool { return on[mapPage](s.m) })
			s.until("record", func() bool { return s.m.rec.done != "" })
		},
	} {
		t.Run(name, func(t *testing.T) {
			e := &easel{change: func(place int, c patterns.Colour) patterns.Colour {
				if place == 19 {
					return patterns.Colour{}
				}
				return c
			}}
			s := studioOf(t, "porthole", e, termenv.Ascii)
			s.send(tea.WindowSizeMsg{Width: 120, Height: 37})
			open(s, e)
			hints := s.m.Keys().ShortHelp()
			require.NotEmpty(t, hints)
			for _, b := range hints {
				require.True(t, s.anyActs(b), "the foot line hints at a dead key: %s %s", b.Help().Key, b.Help().Desc)
			}
			for _, b := range s.m.Keys().FullHelp()[0] {
				require.True(t, s.anyActs(b) || s.actsLater(b), "the page of keys lists a dead key: %s %s", b.Help().Key, b.Help().Desc)
			}
		})
	}
}
