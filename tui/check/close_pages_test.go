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

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/rowcheck"
	"example.org/ringout/tui/style"
)

// plainAt is the page of a visit in a window of a size, without colours.
func plainAt(t *testing.T, name string, size [2]int) string {
	t.Helper()
	e := visits[name].open(t, termenv.Ascii)
	e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
	return ansi.Strip(e.m.View(size[0], rowsOf(size)))
}

// Causes that look alike are all named on the smallest pages, with what to do about the first.
func TestCausesThatLookAlikeAreNamedOnSmallPages(t *testing.T) {
	for name, kinds := range map[string][]string{
		"run backwards": {"data joint open", "supply lost", "dead pixel"},
		"open joint":    {"supply lost", "dead pixel"},
	} {
		for _, size := range sizes[:2] {
			view := strings.Join(strings.Fields(plainAt(t, name, size)), " ")
			assert.Contains(t, view, "Power off", "%s at %v", name, size)
			for _, kind := range kinds {
				assert.Contains(t, view, kind, "%s at %v", name, size)
			}
		}
	}
}

// On the smallest pages a step of a test has an empty row above its question and above its answers.
func TestStepsOfTestsHaveRowsBetween(t *testing.T) {
	answer := regexp.MustCompile(`^ [ ▸]?[a-z0-9] |^  Reading: `)
	for name, question := range map[string]string{
		"load test": "All white. Volts at pixel 1", "load test, typing": "All white. Volts at pixel 1",
		"flex test": "Bend ", "flex test, second": "Bend ", "roll call": "Last lit: what colour?",
	} {
		lines := strings.Split(plainAt(t, name, sizes[0]), "\n")
		asked, answered := -1, -1
		for i, l := range lines {
			if strings.HasPrefix(strings.TrimSpace(l), question) {
				asked = i
			}
			if asked >= 0 && answered < 0 && i > asked && answer.MatchString(l) {
				answered = i
			}
		}
		require.Positive(t, asked, name)
		require.Positive(t, answered, name)
		assert.True(t, style.Blank(lines[asked-1]), "above the question of the %s:\n%s", name, strings.Join(lines, "\n"))
		assert.True(t, style.Blank(lines[answered-1]), "above the answers of the %s:\n%s", name, strings.Join(lines, "\n"))
	}
}

// A fault that has no place is drawn by the light that it makes of one colour, and only a light that
// differs from what is sent.
func TestFaultWithoutAPlaceIsDrawnByItsLight(t *testing.T) {
	assert.Contains(t, strings.Join(strings.Fields(plainAt(t, "order", sizes[2])), " "), "all sent red, it shows green")
	p := prop.Porthole() // its chips are planned as GRB: red is sent in the second slot, which RGB chips light green
	shown, ok := shownWith(p, faultOf(t, p, "wrong-order pixel 1 order RGB"))
	require.True(t, ok)
	for _, run := range shown.light {
		for _, c := range run {
			assert.True(t, c.G > 0 && c.R == 0 && c.B == 0, "%v", c)
		}
	}
	_, ok = shownWith(p, strip.Fault{Kind: "no such fault"})
	assert.False(t, ok)
}

// Both sides of a loose joint have its number, which the text gives too.
func TestLooseJointsHaveTheirNumbers(t *testing.T) {
	view := plainAt(t, "flex test, loose", sizes[1])
	assert.Contains(t, view, "1▶1")
	assert.Regexp(t, `21 ○+›○+2›`, view, "the end of the first run")
	assert.Regexp(t, `37›2○`, view)
	assert.Regexp(t, `85›3○`, view)
	assert.Contains(t, view, "1 2 3 at the joints")
	assert.Contains(t, plainAt(t, "flex test, loose", sizes[4]), `at joints 1 "controller to inner ring", 2 "inner`)
}

// Where the large words name a pixel of many that are marked, it has a mark of its own.
func TestPixelOfTheLargeWordsIsMarked(t *testing.T) {
	view := plainAt(t, "run backwards", sizes[1])
	assert.Regexp(t, `37›!×`, view)
	assert.Contains(t, view, "! first dark")
	assert.Contains(t, view, "× run")
}

// What would change in the prop file is large in every window: on a narrow page over two lines, in letters
// that are wider than those of one.
func TestAChangeOfThePlanIsLarge(t *testing.T) {
	for i, size := range sizes {
		rows := 0
		for _, l := range strings.Split(plainAt(t, "order into the plan", size), "\n") {
			if rowcheck.Large(l) {
				rows++
			}
		}
		assert.GreaterOrEqual(t, rows, []int{6, 9}[min(i, 1)], "%v", size)
	}
}
