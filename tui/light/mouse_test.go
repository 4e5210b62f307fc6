package light

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/screen"
)

func TestMouse(t *testing.T) {
	m, out := lit(prop.Porthole(), false, 80, 21, termenv.Ascii)
	m = feed(m, tea.MouseMsg{X: 3, Y: listTop + 2, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	assert.Equal(t, "single", out.last(t).Pattern)
	m = feed(m, tea.MouseMsg{X: 60, Y: 5, Action: tea.MouseActionPress, Button: tea.MouseButtonWheelDown})
	assert.Equal(t, 1, out.last(t).Step)
	n := len(out.wants)
	feed(m, tea.MouseMsg{X: 3, Y: 20, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	assert.Len(t, out.wants, n)
}

// A click on a mark of the drawing goes to its pixel, in both drawings and on
// every size of page.
func TestClickOnAPixel(t *testing.T) {
	p := prop.Porthole()
	for _, size := range [][2]int{{80, 21}, {50, 36}, {120, 37}, {121, 37}} {
		for _, rows := range []bool{false, true} {
			m, out := lit(p, true, size[0], size[1], termenv.Ascii)
			m = press(m, "3", "end", "left", "left") // pixel 142 of 144
			if rows {
				m = press(m, "v")
			}
			snap, sent := answer(p, out.last(t), 141)
			s, err := strip.New(p)
			require.NoError(t, err)
			m = feed(m, snap, screen.LightMsg{Light: s.Shine(sent), Driven: true})
			lines := strings.Split(m.View(size[0], size[1]), "\n")
			found := 0
			for y, l := range lines {
				for x, r := range []rune(l) {
					named := strings.HasPrefix(string([]rune(l)[x:]), "W white") || strings.HasPrefix(string([]rune(l)[x:]), "W\u00a0lit") // in the legend
					if r != 'W' || named || !m.compact() && x < sideWidth || y == 0 {
						continue // a letter of a word
					}
					c := press(m, "home")
					feed(c, tea.MouseMsg{X: x, Y: y, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
					assert.InDelta(t, 141, out.last(t).Step, 1, "pixels may share a cell")
					found++
				}
			}
			assert.Equal(t, 2, found, "%v rows %v\n%s", size, rows, strings.Join(lines, "\n"))
		}
	}
}

func TestClickTellsThePixel(t *testing.T) {
	m, _ := lit(prop.Porthole(), false, 80, 21, termenv.Ascii)
	// Slots by hand: pixel 85, from 0, begins at 85*3 = 255, on screen 256.
	assert.Equal(t, "Pixel 2 of outer ring (86 of the prop), universe 1 slot 256.", m.where(85))
	assert.Empty(t, m.where(144))
	m = press(m, "5")
	lines := strings.Split(m.View(80, 21), "\n")
	y := slices.IndexFunc(lines, func(l string) bool { return strings.Contains(l, "85›") }) // the row of its first pixel
	require.Positive(t, y)
	x := slices.Index([]rune(lines[y]), '›') + 2
	m = feed(m, tea.MouseMsg{X: x, Y: y, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	assert.Equal(t, m.where(85), m.note)
}

// Where the captions of a demo's drawings are short and a line costs no mark, their signs
// stand once above both, at the left edge of the first and whole, in every depth of colour.
func TestSignsStandOnceAboveTheCaptions(t *testing.T) {
	for _, depth := range []termenv.Profile{termenv.Ascii, termenv.ANSI, termenv.TrueColor} {
		below := 0
		for _, size := range [][2]int{{80, 21}, {100, 33}, {120, 36}, {120, 37}, {140, 40}} {
			p := prop.Porthole()
			m, out := lit(p, true, size[0], size[1], depth)
			snap, sent := answer(p, out.last(t), 0)
			s, err := strip.New(p)
			require.NoError(t, err)
			m = feed(m, snap, screen.LightMsg{Light: s.Shine(sent), Driven: true})
			lines := strings.Split(ansi.Strip(m.View(size[0], size[1])), "\n")
			if m.draw.legendRows.Is < 2 {
				continue
			}
			below++
			titles := m.draw.top + m.draw.legendRows.Is - 1
			assert.Equal(t, canvas.ExpectedTitle.Full, strings.TrimSpace(string([]rune(lines[titles])[sideWidth:sideWidth+22])), "right above its drawing")
			signs := string([]rune(lines[m.draw.top])[sideWidth:])
			assert.NotEqual(t, ' ', []rune(signs)[0], "%q", signs)
			assert.Regexp(t, `[▶▼] (data )?in, [›↗↘←→↖↑↓↙]+ (its way|on)`, signs)
			assert.NotContains(t, signs, "…")
			assert.Len(t, regexp.MustCompile(` (data )?in, `).FindAllString(strings.Join(lines, "\n"), -1), 1, "once for both")
		}
		assert.Positive(t, below, depth)
	}
}

// The drawings of a long prop are one above the other, and a click finds its pixel in both.
func TestClickOnDrawingsOneAboveTheOther(t *testing.T) {
	p := prop.Pennant()
	m, out := lit(p, true, 200, 55, termenv.Ascii)
	m = press(m, "3", "end", "left", "left") // pixel 134 of 136
	snap, sent := answer(p, out.last(t), 133)
	s, err := strip.New(p)
	require.NoError(t, err)
	m = feed(m, snap, screen.LightMsg{Light: s.Shine(sent), Driven: true})
	lines := strings.Split(m.View(200, 55), "\n")
	var at [][2]int
	for y, l := range lines {
		for x, r := range []rune(l) {
			if named := strings.HasPrefix(string([]rune(l)[x:]), "W white"); r != 'W' || named || x < sideWidth || y == 0 {
				continue
			}
			feed(press(m, "home"), tea.MouseMsg{X: x, Y: y, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
			assert.Equal(t, 133, out.last(t).Step)
			at = append(at, [2]int{x, y})
		}
	}
	require.Len(t, at, 2, strings.Join(lines, "\n"))
	assert.Equal(t, at[0][0], at[1][0], "one above the other")
	assert.Greater(t, at[1][1], at[0][1]+15)
}
