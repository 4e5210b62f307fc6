package tui

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
)

// Wherever Prop shows figures, what can hurt is in sight without a key: power off and a fuse in every
// feed, and from 80x24 on whose work the mains side is.
func TestPropShowsItsCautionsAboveTheFold(t *testing.T) {
	n := 0
	for _, s := range states {
		if !strings.HasPrefix(s.name, "prop, ") || strings.Contains(s.name, "without a prop") || strings.Contains(s.name, "far") {
			continue
		}
		n++
		for _, size := range sizes {
			inBubble(t, func(t *testing.T) {
				w := walk(t, s, size[0], size[1], termenv.Ascii)
				defer w.Close()
				left := ""
				for _, l := range strings.Split(ansi.Strip(w.view()), "\n") {
					before, _, _ := strings.Cut(l, "│")
					left += " " + before
				}
				said := strings.Join(strings.Fields(left), " ")
				want := "Power off before work on wires. Fuse every feed. Mains side: licensed people."
				if size[0] < 80 {
					want = "Power off before work. Fuse every feed."
				}
				assert.Contains(t, said, want, "%s %v", s.name, size)
			})
		}
	}
	assert.GreaterOrEqual(t, n, 8, "states of Prop")
}

// A heading at the foot of a page of the record is never alone: at most one empty row stands
// above the line that says that more follows, and above that a line of text.
func TestRecordEndsWithALine(t *testing.T) {
	for _, s := range states {
		if !strings.HasPrefix(s.name, "record, ") || strings.Contains(s.name, "far") {
			continue
		}
		for _, size := range sizes {
			inBubble(t, func(t *testing.T) {
				w := walk(t, s, size[0], size[1], termenv.Ascii)
				defer w.Close()
				lines := strings.Split(ansi.Strip(w.view()), "\n")
				for i, l := range lines {
					at := strings.Index(l, "… ")
					if at < 0 || i == 0 || !strings.Contains(l, " more") || strings.Contains(l, "due") {
						continue
					}
					above := lines[i-1][min(at, len(lines[i-1])):]
					if strings.TrimSpace(above) == "" && i > 1 {
						above = lines[i-2][min(at, len(lines[i-2])):]
					}
					assert.NotEmpty(t, strings.TrimSpace(above), "%s %v: two empty rows above %q", s.name, size, l)
					assert.NotRegexp(t, `^(Findings|Runs as found|Joints|Questions and answers|Side by side|In the prop file)\s*$`, above, "%s %v", s.name, size)
				}
			})
		}
	}
}
