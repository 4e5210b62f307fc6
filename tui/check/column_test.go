package check

import (
	"fmt"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// placeOf is where the answers of a page begin, and the size of its drawings and where the first
// begins.
func placeOf(e *evening, width, height int) string {
	lines, zones := e.m.page.lines(e.m, width, height)
	at := "typed"
	if len(zones) > 0 {
		at = fmt.Sprint("answers at ", zones[0].x0, ",", zones[0].y0)
	}
	head := 0
	for y, l := range lines {
		if cut := ansi.Strip(l); len(cut) > 13 && (cut[:13] == "  Should show" || cut[:13] == "  With that f") {
			head = y
		}
	}
	c := e.m.draw.should
	return fmt.Sprintf("%s, drawing %dx%d below row %d, rows %v", at, c.width, c.height, head, c.c.Rows())
}

// Where there is room a prop is drawn as it lies, its answers at the right: answers and drawing
// keep their place over all questions, all steps of the tests, and while a reading is typed.
func TestAnswersAndDrawingsKeepOnePlace(t *testing.T) {
	for _, size := range sizes[2:] {
		for _, demo := range []bool{false, true} {
			for name, p := range map[string]*prop.Prop{"Porthole": prop.Porthole(), "Buoy lamp": prop.BuoyLamp()} {
				t.Run(fmt.Sprint(size, " ", name, " demo ", demo), func(t *testing.T) {
					places := map[string][]string{}
					for key := range 6 {
						if p.Bulb() != (key == 0) { // a bulb has its slots alone
							continue
						}
						e := begin(t, Options{Style: styles(termenv.TrueColor)}, p, "")
						e.m.bench.demo = demo
						e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
						e.press(fmt.Sprint(max(1, key)))
						for n := 0; n < 30 && (on[questionPage](e.m) && e.m.st.more || on[testPage](e.m)); n++ {
							at := placeOf(e, size[0], rowsOf(size))
							places[at] = append(places[at], e.m.page.farView(e.m).Texts[0])
							if p, test := e.m.page.(testPage); test && p.now().Typed != 0 {
								e.press("n", "4")
								at := placeOf(e, size[0], rowsOf(size))
								assert.Contains(t, at, "typed")
								places[at] = append(places[at], "typed")
								e.press(".", "9", "enter")
								continue
							}
							e.press("1")
						}
					}
					require.NotEmpty(t, places)
					typed := 0
					for at, of := range places {
						if of[0] == "typed" {
							typed++
						}
						assert.Contains(t, at, "rows false", "%v", of)
					}
					assert.Len(t, places, 1+typed, "%v", places)
					assert.LessOrEqual(t, typed, 1)
				})
			}
		}
	}
}
