package tui

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
)

// below are the pages where something is to be chosen or filled in: that comes first, and
// the large words stand below it. On all others they head the page.
var below = []string{"front", "set-up", "check, start", "check, which part", "without a prop", "keys of", "far"}

// headRows is how many rows may be above the large words that head a page: the line of
// pages, its title with the settings or the names of its own pages, a line that is typed,
// and empty rows.
const headRows = 6

// The large words stand in one place: at the head of each page that shows something, at the
// left edge of what they speak of, at every size.
func TestLargeWordsStandInOnePlace(t *testing.T) {
	for _, s := range states {
		isBelow := false
		for _, b := range below {
			isBelow = isBelow || strings.Contains(s.name, b)
		}
		if isBelow {
			continue
		}
		for _, size := range sizes {
			if strings.HasPrefix(s.name, "check") && size[1] < 24 {
				continue // a question's drawing comes first there
			}
			inBubble(t, func(t *testing.T) {
				w := walk(t, s, size[0], size[1], termenv.Ascii)
				defer w.Close()
				lines := strings.Split(ansi.Strip(w.view()), "\n")
				for i, l := range lines {
					if blocks.MatchString(l) && !bars.MatchString(l) {
						assert.LessOrEqual(t, i, headRows, "%s %v: large words begin in row %d", s.name, size, i)
						break
					}
				}
			})
		}
	}
}
