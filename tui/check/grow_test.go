package check

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/digits"
)

// letterHeight is how many rows the tallest large letters of a page without colours have:
// nothing else there is of block characters, and lines of large words have an empty row
// between them.
func letterHeight(view string) int {
	run, most := map[int]int{}, 0
	for _, line := range strings.Split(view, "\n") {
		for col, r := range []rune(line) {
			if run[col]++; !strings.ContainsRune("▘▝▀▖▌▞▛▗▚▐▜▄▙▟█", r) {
				run[col] = 0
			}
			most = max(most, run[col])
		}
	}
	return (most + digits.Rows - 1) / digits.Rows * digits.Rows
}

// Large words are never lower in a larger window, and higher in the largest than in a small one.
func TestLargeWordsGrowWithTheWindow(t *testing.T) {
	pages := map[string]func(t *testing.T) *evening{
		"bulb, start": func(t *testing.T) *evening { return begin(t, Options{}, prop.BuoyLamp(), "") },
		"camera lost": func(t *testing.T) *evening {
			e := visits["start"].open(t, termenv.Ascii)
			e.m = e.m.lost(errors.New("the pictures of the phone ended: start it again"))
			return e
		},
	}
	for name, v := range visits {
		pages[name] = func(t *testing.T) *evening { return v.open(t, termenv.Ascii) }
	}
	for name, open := range pages {
		t.Run(name, func(t *testing.T) {
			e := open(t)
			was, small := 0, 0
			for _, size := range sizes {
				e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
				view := e.m.View(size[0], rowsOf(size))
				now := letterHeight(view)
				assert.GreaterOrEqual(t, now, was, fmt.Sprint(size, "\n", view))
				if was = now; size[1] == 24 {
					small = now
				}
			}
			assert.Greater(t, was, small, "large words in the largest window")
		})
	}
}
