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

// Text has one left edge and never reaches the last two columns, on every page in every window: only the
// line of pages begins in the first column, and the sign of what is chosen stands before the text.
func TestTextKeepsToTheEdges(t *testing.T) {
	for _, s := range states {
		var faults []string
		for _, size := range sizes {
			inBubble(t, func(t *testing.T) {
				w := walk(t, s, size[0], size[1], termenv.Ascii)
				defer w.Close()
				lines := strings.Split(w.view(), "\n")
				if strings.HasPrefix(ansi.Strip(lines[0]), "─") {
					lines = lines[1:]
				}
				for _, f := range rowcheck.Edges(lines, size[0], ansi.StringWidth) {
					faults = append(faults, fmt.Sprint(size, " ", f))
				}
			})
		}
		assert.Empty(t, strings.Join(faults, "\n"), s.name)
	}
}
