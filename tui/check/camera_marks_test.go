package check

import (
	"errors"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/rowcheck"
	"example.org/ringout/patterns"
)

// Pictures are kept where the builder says so, and read again they go the same
// steps without light on the prop.
func TestPicturesAreKeptFromTheScreen(t *testing.T) {
	e := &easel{}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	folder := filepath.Join(t.TempDir(), "shots")
	listed := func() {
		s.send(named(s.line("Prove every pixel")))
		s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
	}
	typed := func(text string) {
		for _, r := range text {
			s.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
		}
		s.send(named("enter"))
	}
	listed()
	s.send(named("4"))
	typed(folder)
	require.Equal(t, folder, s.m.page.(sourcePage).keep)
	s.send(named("1"))
	s.until("sight", func() bool { p, ok := s.m.page.(aimPage); return ok && p.view.Sight.W > 0 })
	s.mark(e)
	s.until("map", func() bool { return on[mapPage](s.m) })
	require.FileExists(t, filepath.Join(folder, "scene.json"))

	s = studioOf(t, "porthole", e, termenv.Ascii)
	s.m.opt.OpenEye = nil // as it is outside tests
	listed()
	s.send(named("4"))
	typed(folder)
	s.send(named("1"))
	s.until("refusal", func() bool { return on[lostPage](s.m) })
	require.Contains(t, s.text(), "already has pictures: name another one")
	s.send(named("3"))
	s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
	s.send(named("3"))
	typed(folder)
	s.until("sight", func() bool { p, ok := s.m.page.(aimPage); return ok && p.view.Sight.W > 0 })
	require.Nil(t, s.out.last(t).Frames, "kept pictures need no light")
	s.send(named("enter"))
	s.until("map", func() bool { return on[mapPage](s.m) })
	require.Contains(t, s.text(), "All 144 places were read and are as planned. Left: ")
}

// The cursor moves a cell, zoom draws the picture nearer, a click marks.
func TestMarksByKeysAndMouse(t *testing.T) {
	e := &easel{}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	s.send(named("enter"))
	p := s.m.page.(markPage)
	before := p.at
	s.send(named("right"))
	s.send(named("down"))
	p = s.m.page.(markPage)
	f := p.frame(s.m.size.Width, s.m.size.Height)
	require.InDelta(t, before.X+f.cell, p.at.X, 1e-9)
	require.InDelta(t, before.Y+2*f.cell, p.at.Y, 1e-9)
	s.send(named("z"))
	near := s.m.page.(markPage).frame(s.m.size.Width, s.m.size.Height)
	require.InDelta(t, f.cell/3, near.cell, 1e-9)
	s.send(named("z"))
	s.send(named("z"))
	want := e.at(e.scene.Places()[0])
	click := func() {
		f := s.m.page.(markPage).frame(s.m.size.Width, s.m.size.Height)
		x, y, ok := f.cellOf(want)
		require.True(t, ok)
		s.send(tea.MouseMsg{Action: tea.MouseActionPress, Button: tea.MouseButtonLeft, X: f.left + x, Y: f.top + y})
	}
	click()
	require.Empty(t, s.m.page.(markPage).proof.Marks, "a cell is as large as a pixel and more: the picture is drawn nearer first")
	require.Contains(t, s.text(), "now mark the pixel itself")
	click()
	if len(s.m.page.(markPage).proof.Marks) == 0 { // as near as it goes
		click()
	}
	p = s.m.page.(markPage)
	require.Len(t, p.proof.Marks, 1)
	require.InDelta(t, want.X, p.proof.Marks[0].At.X, 1.5, "set on the spot")
	require.InDelta(t, want.Y, p.proof.Marks[0].At.Y, 1.5)
	s.send(named("backspace"))
	require.Empty(t, s.m.page.(markPage).proof.Marks)
}

// The pages at their sizes, with and without colour.
func TestCameraPages(t *testing.T) {
	for _, row := range []struct {
		name          string
		width, height int
		depth         termenv.Profile
	}{{"80x24 no colour", 80, 19, termenv.Ascii}, {"120x40 true colour", 120, 35, termenv.TrueColor}, {"50x20 no colour", 50, 16, termenv.Ascii}, {"80x24 16 colours", 80, 19, termenv.ANSI}, {"80x24 256 colours", 80, 19, termenv.ANSI256}} {
		t.Run(row.name, func(t *testing.T) {
			e := &easel{change: func(place int, c patterns.Colour) patterns.Colour {
				if place == 19 {
					return patterns.Colour{}
				}
				return c
			}}
			s := studioOf(t, "porthole", e, row.depth)
			s.send(tea.WindowSizeMsg{Width: row.width, Height: row.height})
			page := func(name string) {
				t.Run(name, func(t *testing.T) { requirePage(t, s.m.View(row.width, row.height), row.width, row.height) })
				s.capture(name, row.depth, tea.WindowSizeMsg{Width: row.width, Height: row.height})
				s.anyWindow(t)
				s.requireLegendApart(t)
				s.send(tea.WindowSizeMsg{Width: row.width, Height: row.height})
			}
			s.send(named(s.line("Prove every pixel")))
			s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
			page("source")
			s.send(named("1"))
			s.until("sight", func() bool { p, ok := s.m.page.(aimPage); return ok && p.view.Sight.W > 0 && p.view.Number > 1 })
			page("aim")
			s.send(named("enter"))
			page("mark")
			s.m = s.m.lost(errors.New("the pictures of the phone ended: start it again"))
			page("lost")
			s = studioOf(t, "porthole", e, row.depth)
			s.send(tea.WindowSizeMsg{Width: row.width, Height: row.height})
			s.aimed()
			s.mark(e)
			s.until("run", func() bool { p, ok := s.m.page.(runPage); return ok && p.proof.Look == 6 })
			page("run")
			s.until("map", func() bool { return on[mapPage](s.m) })
			s.until("record", func() bool { return s.m.rec.done != "" })
			s.m.rec.done = filepath.Base(s.m.rec.done)
			page("map")
			s.requireRunsApart(t)
			s = studioOf(t, "porthole", &easel{boards: true, change: dark}, row.depth)
			s.send(tea.WindowSizeMsg{Width: row.width, Height: row.height})
			s.beforeCamera()
			s.send(named("d"))
			s.until("map", func() bool { return on[mapPage](s.m) })
			s.until("record", func() bool { return s.m.rec.done != "" })
			s.m.rec.done = filepath.Base(s.m.rec.done)
			page("dark")
		})
	}
}

// legendOf is the line of a page with what the signs of a picture or a map mean.
var legendOf = regexp.MustCompile(`⠶ spots? of light|[■•] (as planned|dark)|⠶ spot`)

// requireLegendApart requires an empty row between a picture or a map and the legend above it, at all sizes
// but the lowest, text that keeps to the edges, and a name for the pixels of the plan.
func (s *studio) requireLegendApart(t *testing.T) {
	t.Helper()
	for _, size := range [][2]int{{80, 24}, {120, 40}, {160, 50}, {200, 60}} {
		width, height := size[0], rowsOf(size)
		s.send(tea.WindowSizeMsg{Width: width, Height: height})
		lines := strings.Split(ansi.Strip(s.m.View(width, height)), "\n")
		assert.Empty(t, rowcheck.Edges(lines, width, ansi.StringWidth), "%v", size)
		if all := strings.Join(lines, "\n"); strings.Contains(all, otherSign) {
			assert.Regexp(t, otherSign+" [a-z0-9]", all, "%v", size)
		}
		for i, l := range lines[:len(lines)-2] {
			if !legendOf.MatchString(l) {
				continue
			}
			left := lines[i+1]
			if on[mapPage](s.m) { // its text stands beside the map
				left = ansi.Truncate(left, (width-3*edge)/2, "")
				if strings.Contains(left, "▶ data in,") || strings.Contains(left, "▶ in,") { // a legend of two rows
					left = ansi.Truncate(lines[i+2], (width-3*edge)/2, "")
				}
			}
			assert.Empty(t, strings.TrimSpace(left), "%v", size)
			break
		}
	}
}

// requireRunsApart requires that a map in rows has one empty row between two runs and none
// between the rows of one; all rows but the last of a run are as long.
func (s *studio) requireRunsApart(t *testing.T) {
	t.Helper()
	s.send(tea.WindowSizeMsg{Width: 120, Height: 29})
	require.False(t, s.m.page.(mapPage).layout(s.m, 120, 29).drawn.Rows(), "the rings have room")
	require.Len(t, strings.Split(s.m.View(120, 29), "\n"), 29)
	s.send(tea.WindowSizeMsg{Width: 120, Height: 28})
	p := s.m.page.(mapPage)
	l := p.layout(s.m, 120, 28)
	require.True(t, l.drawn.Rows())
	var first []string
	for _, line := range p.signs(s.m, l) {
		at := strings.TrimLeft(ansi.Strip(line), " ")
		first = append(first, at[:len(at)-len(strings.TrimLeft(at, "0123456789"))])
	}
	assert.Equal(t, []string{"", "1", "21", "", "37", "57", "77", "", "85", "105", "125"}, first)
}
