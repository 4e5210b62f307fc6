package check

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/record"
	"example.org/ringout/patterns"
)

// dark is what a pixel without supply shows.
func dark(int, patterns.Colour) patterns.Colour { return patterns.Colour{} }

// beforeCamera opens the camera of a studio.
func (s *studio) beforeCamera() {
	s.send(named(s.line("Prove every pixel")))
	s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
	s.send(named("1"))
	s.until("aim", func() bool { p, ok := s.m.page.(aimPage); return ok && p.view.Sight.W > 0 })
}

// A prop that stays dark is said to be so by a key: no places are marked, the
// sequence runs, and the map has all places dark, with what keeps all dark. It is
// recorded as failed.
func TestAPropThatStaysDarkOnTheScreen(t *testing.T) {
	e := &easel{boards: true, change: dark}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	s.beforeCamera()
	hint := s.m.page.help(s.m)[1].Help()
	require.Equal(t, "d it stays dark", hint.Key+" "+hint.Desc)
	s.send(named("d"))
	s.until("map", func() bool { return on[mapPage](s.m) })
	p := s.m.page.(mapPage)
	require.Equal(t, "Is the whole prop in the picture?", p.headline())
	require.Equal(t, "No pixel lights", p.farView(s.m).Texts[0])
	require.Contains(t, s.text(), "dark 144")
	s.send(tea.WindowSizeMsg{Width: 120, Height: 37})
	require.Contains(t, s.text(), "The prop has no supply.")
	require.Contains(t, s.text(), "9 causes look the same. Try first:")
	require.Contains(t, s.text(), "A camera that looks elsewhere")
	require.NotContains(t, s.text(), "Light along each run")
	s.until("the record", func() bool { return s.m.rec.done != "" })
	h, err := record.Beside(s.m.bench.path).Read("")
	require.NoError(t, err)
	last, ok := h.Last()
	require.True(t, ok)
	require.Equal(t, record.Fail, last.Verdict)
	require.Contains(t, last.Notes, "A camera that looks elsewhere")
}

// Where there is light after all, the places are marked as always; a camera that
// sees nothing at all is one sentence, and asking goes on.
func TestItDoesNotStayDarkAfterAll(t *testing.T) {
	e := &easel{boards: true}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	s.beforeCamera()
	s.send(named("d"))
	s.until("marks", func() bool { return on[markPage](s.m) })
	require.Contains(t, s.text(), "planned pixel 1")

	e = &easel{change: dark}
	s = studioOf(t, "porthole", e, termenv.Ascii)
	s.beforeCamera()
	s.send(named("d"))
	s.until("trouble", func() bool { return on[lostPage](s.m) })
	require.Contains(t, s.text(), "nor anything else")
}
