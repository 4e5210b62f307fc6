package tui

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/testkit/lettercheck"
	"example.org/ringout/tui/digits"
)

// blocks are the signs of large letters. Without colours drawings have none of them; the
// bars of a chart have eighths, or stand at a number of volts.
var (
	blocks = regexp.MustCompile("[▌▐▙▟▛▜█▀▄▖▗▘▝▚▞]")
	bars   = regexp.MustCompile("[▁▂▃▅▆▇]|V█")
)

// largeRows is how high the highest line of large letters on a view is; 0 without any.
func largeRows(view string) (most int) {
	rows := 0
	for _, l := range strings.Split(ansi.Strip(view), "\n") {
		rows++
		if !blocks.MatchString(l) || bars.MatchString(l) {
			rows = 0
		}
		most = max(most, rows)
	}
	return most
}

// Large words are never lower in a larger window, on any page: who makes the window
// larger wants to read from further off.
func TestLargeWordsGrowWithTheWindow(t *testing.T) {
	for _, s := range states {
		t.Run(s.name, func(t *testing.T) {
			before, was := 0, ""
			for _, size := range sizes {
				inBubble(t, func(t *testing.T) {
					w := walk(t, s, size[0], size[1], termenv.Ascii)
					defer w.Close()
					now := largeRows(w.view())
					assert.GreaterOrEqual(t, now, before, "%d rows at %s, %d at %dx%d", before, was, now, size[0], size[1])
					before, was = now, fmt.Sprintf("%dx%d", size[0], size[1])
				})
			}
		})
	}
}

// Large words are whole on every page, in windows of many widths: every letter can be read. The
// bars of a chart, the disc of a bulb and keys with their small letters, arrows and the stroke of
// their 0 are none.
func TestLargeWordsAreWhole(t *testing.T) {
	reader := lettercheck.New(digits.Large)
	for _, s := range states {
		if strings.HasPrefix(s.name, "keys of") || s.prop == "buoylamp" || s.name == "check, first question, far" {
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			inBubble(t, func(t *testing.T) {
				w := walk(t, s, 80, 24, termenv.Ascii)
				defer w.Close()
				for width := 50; width <= 240; width += 19 {
					height := 20 + width%3*14
					w.feed(tea.WindowSizeMsg{Width: width, Height: height})
					view := ansi.Strip(w.view())
					if bars.MatchString(view) {
						continue
					}
					texts, ok := reader.Page(view)
					assert.True(t, ok, "%dx%d: after %q", width, height, texts)
				}
			})
		})
	}
}
