package check

import (
	"fmt"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
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
		if cut := ansi.Strip(l); strings.HasPrefix(cut, "  "+canvas.ExpectedTitle.Full) || strings.HasPrefix(cut, "  With that f") {
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
			for name, p := range map[string]*prop.Prop{"Porthole": prop.Porthole(), "Pennant": prop.Pennant(), "Buoy lamp": prop.BuoyLamp()} {
				if name == "Pennant" && demo { // two long drawings are in rows
					continue
				}
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

// On small pages a prop is drawn in rows of pixels: in one place and at one scale over all questions,
// all steps of the tests, and while a reading is typed, below an empty row. A larger window never has
// more pixels a mark.
func TestRowsKeepOnePlace(t *testing.T) {
	for _, demo := range []bool{false, true} {
		before := 1000
		for _, size := range sizes[:2] {
			places, per := map[string][]string{}, 0
			for key := range 5 {
				e := begin(t, Options{Style: styles(termenv.TrueColor)}, prop.Porthole(), "")
				e.m.bench.demo = demo
				e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
				e.press(fmt.Sprint(key + 1))
				for n := 0; n < 12 && (on[questionPage](e.m) && e.m.st.more || on[testPage](e.m)); n++ {
					keys := []string{"1"}
					if p, test := e.m.page.(testPage); test && p.now().Typed == single.VoltsLine {
						keys = []string{"n", ".", "9", "enter"}
					}
					for _, k := range keys {
						if levelRose(e) && size[0] < narrow { // its caution takes the rows of the drawing
							e.press(k)
							continue
						}
						at, c := rowPlace(t, e, size)
						places[at] = append(places[at], e.m.page.farView(e.m).Texts[0])
						per = max(per, c.Per())
						e.press(k)
					}
				}
			}
			assert.Len(t, places, 1, "%v demo %v: %v", size, demo, places)
			assert.LessOrEqual(t, per, before, "%v demo %v", size, demo)
			before = per
		}
	}
}

// The readings of a load test stand beside the planned ones on every page that asks for one.
func TestReadingsStandByTheQuestion(t *testing.T) {
	for _, size := range sizes[1:] {
		e := begin(t, Options{Style: styles(termenv.TrueColor)}, prop.Porthole(), "")
		e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
		e.press("4")
		for n := range 3 {
			lines, _ := e.m.page.lines(e.m, size[0], rowsOf(size))
			text := ansi.Strip(strings.Join(lines, "\n"))
			assert.Regexp(t, `(pixel|  at) +level +read +planned`, text, "%v", size)
			assert.Regexp(t, `to read +4\.\d\d V`, text, "%v", size)
			assert.Equal(t, n > 0, strings.Contains(text, "4.91 V"), "%v, after %d readings", size, n)
			e.press("n", "4", ".", "9", "1", "enter")
		}
	}
}

// levelRose reports whether a step of a load test comes after the level has gone up.
func levelRose(e *evening) bool {
	p := e.m.page
	if t, typing := p.(typingPage); typing {
		p = t.under
	}
	t, ok := p.(testPage)
	return ok && strings.HasPrefix(t.now().Question, "Brighter now: ")
}

// rowPlace is where the first row of pixels of a small page is, and its drawing.
func rowPlace(t *testing.T, e *evening, size [2]int) (string, *canvas.Canvas) {
	t.Helper()
	lines, _ := e.m.page.lines(e.m, size[0], rowsOf(size))
	for y, l := range lines {
		if strings.HasPrefix(ansi.Strip(l), "    1▶") {
			c := e.m.draw.should.c
			if size[0] < narrow && e.m.draw.does.c != nil {
				c = e.m.draw.does.c
			}
			legend := y - 1
			if style.Blank(lines[legend]) { // where the rows are enough
				legend--
			}
			assert.Equal(t, size[0] >= narrow, style.Blank(lines[legend-1]), "above the legend at %v", size)
			return fmt.Sprint(len(c.Lines()), " rows, the first in ", y), c
		}
	}
	require.Fail(t, "no rows", ansi.Strip(strings.Join(lines, "\n")))
	return "", nil
}

// Where drawings stand as they lie, four cells at least are free between two of them, and a row above and
// below each.
func TestDrawingsStandClear(t *testing.T) {
	for _, size := range sizes[2:] {
		for _, depth := range []termenv.Profile{termenv.Ascii, termenv.TrueColor} {
			for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant()} {
				e := begin(t, Options{Style: styles(depth)}, p, "")
				e.m.bench.demo = p.Name == "Porthole" // has room for two
				e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
				e.press("1")
				e.m.page.lines(e.m, size[0], rowsOf(size))
				r, s := e.m.draw.column, e.m.draw.should
				require.Positive(t, r.each, "%s at %v", p.Name, size)
				left, right := s.c.UsedColumns()
				assert.True(t, r.abreast == 1 || s.width-right+columnGap+left >= 4, "%s at %v", p.Name, size)
				first, after := s.c.Used()
				assert.Positive(t, first+r.air, "%s at %v: above", p.Name, size)
				if depth != termenv.Ascii { // else there is no ground
					assert.Positive(t, s.height-after+r.air-1, "%s at %v: below", p.Name, size)
				}
			}
		}
	}
}

// In a larger window the Pennant, whose pixels can only stand a whole number of cells apart, is twice as large
// as soon as it has room, below its legend in the row where other props are.
func TestLongPropGrowsWithTheWindow(t *testing.T) {
	was := 0
	for _, size := range sizes[2:] {
		e := begin(t, Options{Style: styles(termenv.TrueColor)}, prop.Pennant(), "")
		e.m.bench.demo = false // one drawing
		e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
		e.press("1")
		e.m.page.lines(e.m, size[0], rowsOf(size))
		first, after := e.m.draw.should.c.UsedColumns()
		assert.GreaterOrEqual(t, after-first, was, "%v", size)
		was = after - first
	}
	assert.Greater(t, was, 160, "of 200 columns")
}
