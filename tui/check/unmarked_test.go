package check

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
)

// A finding of all pixels marks none: all marked alike would look like a prop that is lit. One
// of a single pixel keeps its mark.
func TestAFindingOfTheWholePropMarksNoPixel(t *testing.T) {
	for visit, marked := range map[string]bool{"order": false, "open joint": true} {
		e := visits[visit].open(t, termenv.Ascii)
		e.feed(tea.WindowSizeMsg{Width: 120, Height: 35})
		text := ansi.Strip(e.m.View(120, 35))
		if marked {
			assert.Contains(t, text, badPixel, visit)
			continue
		}
		assert.NotContains(t, text, badPixel, visit)
		assert.NotContains(t, text, litSign, visit)
		assert.NotContains(t, text, "○ others", visit)
	}
}
