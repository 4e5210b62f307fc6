package record

import (
	"testing"

	"github.com/charmbracelet/x/exp/golden"
	"github.com/muesli/termenv"
)

// The pages are fixed in size and colours; go test -update writes them again,
// and someone then has to look at the difference.
func TestPages(t *testing.T) {
	for _, row := range []struct {
		name          string
		sample        string
		width, height int // of the page, three less high than the terminal
		depth         termenv.Profile
		keys          []string
	}{
		{"80x24 no colour, list", sample, 80, 21, termenv.Ascii, []string{" ", "down"}},
		{"80x24 256 colours, entry", sample, 80, 21, termenv.ANSI256, []string{"enter", "down", "down"}},
		{"80x24 no colour, compared", sample, 80, 21, termenv.Ascii, []string{"c"}},
		{"80x24 no colour, typing a note", sample, 80, 21, termenv.Ascii, []string{"n", "o", "n", "e"}},
		{"80x24 no colour, empty", "", 80, 21, termenv.Ascii, nil},
		{"120x40 true colour, list and entry", sample, 120, 37, termenv.TrueColor, nil},
		{"120x40 no colour, compared", sample, 120, 37, termenv.Ascii, []string{"c"}},
		{"50x20 16 colours, list", sample, 50, 17, termenv.ANSI, nil},
		{"50x20 no colour, entry", sample, 50, 17, termenv.Ascii, []string{"enter"}},
		{"50x20 no colour, compared", sample, 50, 17, termenv.Ascii, []string{"c", "pgdown"}},
		{"50x20 no colour, reminders", sample, 50, 17, termenv.Ascii, []string{"m"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			d, _ := newDesk(t, row.sample, row.width, row.height, row.depth)
			d.press(row.keys...)
			golden.RequireEqual(t, []byte(d.m.View(row.width, row.height)))
		})
	}
}
