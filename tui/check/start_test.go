package check

import (
	"fmt"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/underway"
)

// On the smallest page a list of many parts moves with the chosen line, and a
// click takes the line that is under it.
func TestManyPartsStayInSight(t *testing.T) {
	p := prop.Porthole()
	for i := range 20 {
		p.Parts = append(p.Parts, prop.Part{Name: fmt.Sprint("letter ", i+1), First: i, Last: i})
	}
	e := demoOf(t, p)
	e.feed(tea.WindowSizeMsg{Width: 50, Height: 17})
	e.choose("Check one run or part alone")
	for i, pt := range underway.Parts(p) {
		assert.Contains(t, e.text(), pt.Text(p), "line %d", i+1)
		e.press("down")
	}
	e.press("up")
	_, zones := e.m.page.lines(e.m, 50, 17)
	last := zones[len(zones)-1]
	require.Equal(t, 17, last.y1)
	e.feed(tea.MouseMsg{X: 5, Y: last.y0, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	assert.IsType(t, questionPage{}, e.m.page)
	parts := underway.Parts(p)
	assert.Equal(t, parts[len(parts)-1], e.m.of.part)
}

// The cautions are read whole on the smallest page, with every line there can
// be to choose from.
func TestCautionsAreNotCutOff(t *testing.T) {
	p := prop.Porthole()
	e := demoOf(t, p)
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
	e := demoOf(t, prop.Porthole())
	e.choose("Load test")
	e.press("4")
	var shown []string
	for _, b := range e.m.Keys().ShortHelp() {
		shown = append(shown, b.Help().Desc)
	}
	assert.Equal(t, []string{"accept", "back"}, shown)
}

// The last result stands large on the start page, and goes with the prop it is of.
func TestTheLastResultIsLarge(t *testing.T) {
	p, path := onDisk(t, "porthole")
	at := time.Date(2026, 6, 3, 20, 0, 0, 0, time.UTC)
	require.NoError(t, record.Beside(path).Append(record.Entry{Kind: "check-out", At: at, Prop: p.Name, Verdict: record.Fail}))
	e := begin(t, Options{}, p, path)
	assert.Equal(t, []string{"fail, 3\u00a0June\u00a02026", "fail"}, lastWords(e.m))
	e.press("1")
	e.through()
	e.press("esc")
	assert.Equal(t, e.m.st.verdict(e.m.of.sub), lastWords(e.m), "what was found just now is the last result")
	assert.Equal(t, "pass", strings.Split(e.m.last[0], ",")[0], "and stands in the record")

	other, otherPath := onDisk(t, "pennant")
	e = begin(t, Options{}, other, otherPath)
	assert.Equal(t, "Not checked yet", lastWords(e.m)[0])
}

// A click on a large line takes it, as its digit does.
func TestLargeLinesTakeClicks(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.feed(tea.WindowSizeMsg{Width: 200, Height: 57})
	lines, zones := e.m.page.lines(e.m, 200, 57)
	require.Len(t, zones, len(choices(e.m)))
	for i, z := range zones {
		text := strings.Join(lines[z.y0:z.y1], " ")
		assert.Contains(t, text, choices(e.m)[i].text)
		assert.Contains(t, text, "█", "in large letters")
	}
}

// Cautions and the warning that answers would be thrown away stand on the smallest page,
// whatever else there is to choose.
func TestStartKeepsCautionsAndWarning(t *testing.T) {
	p := prop.Porthole()
	e := begin(t, Options{}, p, "", faultOf(t, p, "count run 2 by -2"))
	e.press("esc")
	for _, test := range []string{"Flex test:", "Load test:", "Roll call:"} {
		e.choose(test)
		e.press(e.trial().now().Answers[0].Press, "esc")
	}
	e.feed(tea.WindowSizeMsg{Width: 50, Height: 17})
	e.choose("Flex test:")
	page := strings.Join(strings.Fields(ansi.Strip(e.m.View(50, 17))), " ")
	for _, says := range []string{"Do not look into it", "power off before you solder", "by local codes.", "That throws the unfinished one away"} {
		assert.Contains(t, page, says)
	}
	assert.Regexp(t, `▸ \d Flex test`, page, "and the line that was chosen")
}
