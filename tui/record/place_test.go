package record

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

var (
	signsOf  = regexp.MustCompile(`[` + canvas.PlanSign + faultSign + `1-9]`)
	firstOne = regexp.MustCompile(`▶`)
)

// drawn are the rows of a page that show the prop, with one sign for every pixel: where it stands and how
// large it is.
func drawn(d *desk) (out []string) {
	left, right := d.m.columns()
	if right == 0 {
		return nil
	}
	for _, l := range strings.Split(d.m.View(d.m.size.Width, d.m.size.Height), "\n")[d.m.pictureTop()+legendRows:] {
		cells := style.Cell(ansi.Strip(l), d.m.size.Width)
		out = append(out, signsOf.ReplaceAllString(ansi.TruncateLeft(cells, edge+left, ""), canvas.PlanSign))
	}
	return out
}

// beginTogether: the text and the drawing beside it begin in one row, one below the empty one under the large words.
func beginTogether(t *testing.T, d *desk, name string) {
	left, right := d.m.columns()
	if right == 0 {
		return
	}
	lines := strings.Split(ansi.Strip(d.page()), "\n")
	cells := []rune(lines[d.m.pictureTop()])
	assert.NotEmpty(t, strings.TrimSpace(string(cells[:edge+left])), "%s: the text\n%s", name, d.page())
	assert.NotEmpty(t, strings.TrimSpace(string(cells[edge+left:])), "%s: the drawing\n%s", name, d.page())
	assert.Empty(t, strings.TrimSpace(lines[d.m.pictureTop()-1]), "%s\n%s", name, d.page())
}

// The prop is drawn in one place and one size on every page, whatever is typed, due, compared or answered,
// at every size of the window.
func TestThePropStaysInItsPlace(t *testing.T) {
	places := 0
	for _, size := range [][2]int{{50, 16}, {80, 20}, {100, 30}, {120, 36}, {160, 46}, {200, 56}, {240, 24}, {130, 60}} {
		d, _ := newDesk(t, sample, size[0], size[1], termenv.Ascii)
		want := drawn(d)
		if want != nil {
			places++
			require.Regexp(t, firstOne, strings.Join(want, "\n"), "%v", size)
		}
		for _, keys := range [][]string{{"down"}, {"down"}, {"enter"}, {"right"}, {"esc", "c"}, {"esc", "m"}, {"esc", "n"}, {"t"}, {"u", "b", "e"}, {"enter"}, {"down", "down"}, {"s"}} {
			d.press(keys...)
			assert.Equal(t, want, drawn(d), "%v after %v\n%s", size, keys, d.page())
			beginTogether(t, d, fmt.Sprint(size, " after ", keys))
		}
		empty, _ := newDesk(t, "", size[0], size[1], termenv.Ascii)
		beginTogether(t, empty, fmt.Sprint(size, ", empty"))
		assert.Equal(t, want, drawn(empty), "%v, empty\n%s", size, empty.page())
	}
	assert.Equal(t, 7, places)
}

// What marks a place is named in words with the pixel or what it is, and what differs has a name wherever
// its sign is, at every size.
func TestSignsAreNamed(t *testing.T) {
	for _, size := range [][2]int{{50, 60}, {80, 60}, {80, 20}, {120, 36}, {160, 46}, {200, 56}} {
		d, _ := newDesk(t, sample, size[0], size[1], termenv.Ascii)
		for _, keys := range [][]string{nil, {"enter"}, {"esc", "m"}, {"esc", "c"}} {
			d.press(keys...)
			page := d.page()
			assert.NotRegexp(t, faultSign+` \d`, page, "a sign and a bare number read as a product")
			if strings.Contains(page, differs+" ") {
				assert.Contains(t, page, differs+" differs", "%v", size)
			}
			if _, right := d.m.columns(); right > 0 {
				assert.Regexp(t, faultSign+` (pixel \d|worse)`, page)
			}
		}
	}
}
