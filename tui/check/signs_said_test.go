package check

import (
	"regexp"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/tui/style"
)

// Drawings of signs name what is said of no pixel where they have it beside others, and no sign is
// underlined.
func TestSignsOfPages(t *testing.T) {
	named := regexp.MustCompile(otherSign + ` (others|all pixels|place not known|anywhere)`)
	underlined := regexp.MustCompile(`\x1b\[([0-9]+;)*4(;[0-9]+)*m[■◆○◇×•?+]`)
	require.Regexp(t, underlined, style.NoColour().Accent.Render(soundSign))
	dots := 0
	for name, v := range visits {
		e := v.open(t, termenv.ANSI)
		for _, size := range [][2]int{{80, 24}, {120, 40}} {
			e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
			view := e.m.View(size[0], rowsOf(size))
			assert.NotRegexp(t, underlined, view, "%s at %v", name, size)
			if plain := ansi.Strip(view); strings.Contains(plain, otherSign) && strings.ContainsAny(plain, maybeSign+badPixel+soundSign+chosenSign+"+") {
				dots++
				assert.Regexp(t, named, plain, "%s at %v", name, size)
			}
		}
	}
	assert.Greater(t, dots, 3)
}

// The large line of the start page stays where a camera makes the list longer.
func TestStartKeepsItsLargeLine(t *testing.T) {
	e := visits["start"].open(t, termenv.Ascii)
	size := [2]int{50, 20}
	e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
	require.Len(t, choices(e.m), 6)
	view := ansi.Strip(e.m.View(size[0], rowsOf(size)))
	large := e.m.lastLarge(size[0], 4)
	require.NotEmpty(t, large)
	assert.Contains(t, view, strings.TrimRight(ansi.Strip(large[len(large)-1]), " "))
	assert.Contains(t, view, "6 Prove every pixel by a camera")
	assert.Contains(t, view, "power off")
}

// The large words of a sound prop ask for the load test: its key is in sight on the smallest page.
// A count that is off marks its run without crosses.
func TestLoadTestInSightAndCountWithoutCrosses(t *testing.T) {
	e := visits["sound"].open(t, termenv.Ascii)
	size := [2]int{50, 20}
	e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
	assert.Contains(t, ansi.Strip(e.m.View(size[0], rowsOf(size))), "enter begins the load test.")
	e = visits["count"].open(t, termenv.Ascii)
	e.feed(tea.WindowSizeMsg{Width: 120, Height: 35})
	view := ansi.Strip(e.m.View(120, 35))
	assert.NotContains(t, view, badPixel)
	assert.Contains(t, view, "outer ring: 1 missing, place unknown")
}
