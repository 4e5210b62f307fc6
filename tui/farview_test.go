package tui

import (
	"os"
	"regexp"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/tui/bench"
)

// The far view of every page, in any window: nothing is cut or reaches an edge, an empty row is above
// and below, and the letters of what has no answers are never less than half as high in a
// larger window, which may have room for more words or for lines without a stub. Answers are
// large in a window of 120 by 40 and above.
func TestFarViewInAnyWindow(t *testing.T) {
	step := 19
	if os.Getenv("RINGOUT_LONG") != "" {
		step = 4
	}
	for _, s := range states {
		if s.name == "front" || strings.HasPrefix(s.name, "keys") || strings.Contains(s.name, "leaving") {
			continue
		}
		if !strings.HasSuffix(s.keys, " f") && !strings.Contains(s.name, "far") {
			s.keys += " ctrl+f"
		}
		inBubble(t, func(t *testing.T) {
			w := walk(t, s, 80, 24, termenv.Ascii)
			defer w.Close()
			before := map[int]int{}
			for width := bench.MinWidth; width <= 240; width += step {
				last := 0
				for height := bench.MinHeight; height <= 70; height += step {
					w.feed(tea.WindowSizeMsg{Width: width, Height: height})
					lines := strings.Split(w.m.View(), "\n")
					assert.Len(t, lines, height, "%s %dx%d", s.name, width, height)
					for i, l := range lines {
						assert.Equal(t, width, ansi.StringWidth(l), "%s %dx%d: %q", s.name, width, height, l)
						if i < height-1 { // the keys of answers may be a range there
							assert.NotContains(t, l, "…", "%s %dx%d", s.name, width, height)
						}
					}
					assert.Empty(t, strings.TrimSpace(lines[0]+lines[height-2]), "%s %dx%d", s.name, width, height)
					now := highest(lines)
					if keys := lines[height-1]; strings.Contains(keys, "answer") || strings.Contains(keys, "choose") || strings.Contains(keys, "take") { // these share the room with the question
						assert.False(t, width >= 120 && height >= 40 && small.MatchString(strings.Join(lines[:height-2], "\n")), "%s %dx%d", s.name, width, height)
						continue
					}
					assert.GreaterOrEqual(t, 2*now, max(last, before[height]), "%s %dx%d", s.name, width, height)
					last, before[height] = now, now
				}
			}
		})
	}
}

// small matches capitals in the terminal's own letters, with gaps or without, after a key.
var small = regexp.MustCompile(`(?m)^ +[a-z0-9] +[A-Z]( ?[A-Z])`)

// highest is how many rows the tallest large letters have: a run of cells of one column.
func highest(lines []string) (most int) {
	run := map[int]int{}
	for _, line := range lines {
		for col, r := range []rune(ansi.Strip(line)) {
			if run[col]++; !strings.ContainsRune("▘▝▀▖▌▞▛▗▚▐▜▄▙▟█", r) {
				run[col] = 0
			}
			most = max(most, run[col])
		}
	}
	return (most + 2) / 3 * 3
}
