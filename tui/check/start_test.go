package check

import (
	"fmt"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// On the smallest page a list of many parts moves with the chosen line, and a
// click takes the line that is under it.
func TestManyPartsStayInSight(t *testing.T) {
	p := prop.Porthole()
	for i := range 20 {
		p.Parts = append(p.Parts, prop.Part{Name: fmt.Sprint("letter ", i+1), First: i, Last: i})
	}
	e := demo(t, p)
	e.feed(tea.WindowSizeMsg{Width: 50, Height: 17})
	e.choose("Check one run or part alone")
	for i := range e.m.parts() {
		assert.Contains(t, e.text(), e.m.partText(i), "line %d", i+1)
		e.press("down")
	}
	e.press("up")
	_, zones := e.m.laid(50, 17)
	last := zones[len(zones)-1]
	require.Equal(t, 17, last.y1)
	e.feed(tea.MouseMsg{X: 5, Y: last.y0, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	assert.Equal(t, questionPage, e.m.page)
	assert.Equal(t, e.m.parts()-1, e.m.part)
}

// The cautions are read whole on the smallest page, with every line there can
// be to choose from.
func TestCautionsAreNotCutOff(t *testing.T) {
	p := prop.Porthole()
	e := demo(t, p)
	e.feed(tea.WindowSizeMsg{Width: 50, Height: 17})
	e.press("1", "1", "esc")
	assert.Contains(t, e.text(), "Go on with the check-out")
	assert.Contains(t, e.text(), "Roll call")
	assert.Contains(t, e.text(), "by local codes.")
	e.feed(tea.WindowSizeMsg{Width: 80, Height: 21})
	assert.Contains(t, e.text(), "One look, one answer")
}

// While a line is typed the foot names the keys of typing.
func TestKeysWhileTyping(t *testing.T) {
	e := demo(t, prop.Porthole())
	e.choose("Load test")
	e.press("4")
	var shown []string
	for _, b := range e.m.Keys().ShortHelp() {
		shown = append(shown, b.Help().Desc)
	}
	assert.Equal(t, []string{"take it", "leave it"}, shown)
}
