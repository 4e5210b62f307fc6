package check

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/tui/canvas"
)

// Every sign that a page draws is named on it, the arrowheads of the way by one of them. The question mark of a place has to be named where it is
// drawn on a row of pixels.
func TestEverySignIsNamed(t *testing.T) {
	named := map[*regexp.Regexp]*regexp.Regexp{
		regexp.MustCompile(`[▶▲▼◀]`):        regexp.MustCompile(`[▶▲▼◀] (data )?in\b`),
		regexp.MustCompile(`[›↖↗↘↙]`):       regexp.MustCompile(`[›→↘↓↙←↖↑↗] (its way|on\b|way of data)`),
		regexp.MustCompile(`○`):             regexp.MustCompile(`○ [a-z0-9]`),
		regexp.MustCompile(`[○•■]◆|◆[○•■]`): regexp.MustCompile(`◆ [a-z]`),
		regexp.MustCompile(`○■|■○`):         regexp.MustCompile(`■ [a-z]`),
		regexp.MustCompile(`[○•▶›]\?`):      regexp.MustCompile(`\? here`),
		regexp.MustCompile(`[◇○■]◇`):        regexp.MustCompile(`◇ [a-z]`),
		regexp.MustCompile(`[×•○■]×`):       regexp.MustCompile(`× [a-z0-9]`),
		regexp.MustCompile(`[○■]\+`):        regexp.MustCompile(`\+ red light`),
	}
	for name, v := range visits {
		for _, depth := range []termenv.Profile{termenv.Ascii, termenv.TrueColor} {
			e := v.open(t, depth)
			for _, size := range sizes {
				e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
				view := ansi.Strip(e.m.View(size[0], rowsOf(size)))
				for drawn, says := range named {
					if drawn.MatchString(view) {
						assert.Regexp(t, says, view, fmt.Sprint(name, size, depth))
					}
				}
				if begin := regexp.MustCompile(`[○▶][1-9] ○| [23] ○`); begin.MatchString(view) && !strings.Contains(view, "  1▶") && !strings.Contains(view, "joints 1") {
					assert.Contains(t, view, "where runs begin", fmt.Sprint(name, size, depth))
				}
			}
		}
	}
}

// The page of words explains every sign of a drawing.
func TestSignsStandInTheWords(t *testing.T) {
	page, err := os.ReadFile("../../internal/cli/pages/words.md")
	require.NoError(t, err)
	_, signs, ok := strings.Cut(string(page), "## Signs in drawings")
	require.True(t, ok)
	var explained []string
	for _, row := range regexp.MustCompile(`(?m)^\| ([^|]+) \|`).FindAllStringSubmatch(signs, -1) {
		explained = append(explained, strings.Fields(row[1])...)
	}
	for _, sign := range []string{canvas.LitSign, canvas.DarkSign, canvas.PlanSign, canvas.Hole, canvas.OutsideSign, canvas.Marked, canvas.Dot, chosenSign,
		maybeSign, badPixel, soundSign, firstBadSign, walkedKey.Full[:1], "?"} {
		assert.Contains(t, explained, sign)
	}
}
