package check

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Large words warn where they say that something is wrong, and nowhere else.
func TestLargeWordsWarnOfWhatIsWrong(t *testing.T) {
	for name, wrong := range map[string]bool{
		"open joint": true, "order": true, "run backwards": true, "count": true, "flex test, loose": true,
		"sound": false, "ended early": false, "what is left": false, "first question": false, "second question": false, "flex test": false,
	} {
		t.Run(name, func(t *testing.T) {
			v, ok := visits[name]
			require.True(t, ok, "no such visit")
			e := v.open(t, termenv.TrueColor)
			e.feed(tea.WindowSizeMsg{Width: 120, Height: 37})
			warns, _, _ := strings.Cut(e.m.style.Warn.Render("x"), "x")
			for _, l := range strings.Split(e.m.View(120, 37), "\n") {
				if strings.ContainsAny(l, "█▀▄") {
					assert.Equal(t, wrong, strings.Contains(l, warns), "%q", l)
					return
				}
			}
			assert.Fail(t, "no large words")
		})
	}
}
