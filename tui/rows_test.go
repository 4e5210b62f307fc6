package tui

import (
	"fmt"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/testkit/rowcheck"
)

// One empty row stands between two things on every page, never two, large words have one
// above and below where a row is free, and what is below is not hidden while rows are free.
// The far view has its text in the middle of the window. Empty rows are those of a terminal
// with colours: letters stand for bars of light that are several rows high there.
func TestRowsOfEveryPage(t *testing.T) {
	for _, s := range states {
		if strings.Contains(s.name, "far") {
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			var faults []string
			for _, size := range sizes {
				for depth, about := range map[termenv.Profile]string{termenv.TrueColor: "empty rows", termenv.Ascii: "rows are free"} {
					inBubble(t, func(t *testing.T) {
						w := walk(t, s, size[0], size[1], depth)
						defer w.Close()
						lines := strings.Split(w.view(), "\n")
						body := lines[1 : len(lines)-2] // between the line of pages and the two at the foot
						plain := strings.Split(ansi.Strip(strings.Join(body, "\n")), "\n")
						for _, f := range rowcheck.Glued(plain, 1) {
							faults = append(faults, fmt.Sprint(size, " ", f))
						}
						for _, f := range rowcheck.Faults(body, 1) {
							if strings.Contains(f, about) {
								faults = append(faults, fmt.Sprint(size, " ", f))
							}
						}
					})
				}
			}
			assert.Empty(t, strings.Join(faults, "\n"))
		})
	}
}
