package light

import (
	"fmt"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/memo"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// placeOf is the size of the drawing, its kind and scale.
func placeOf(m Model) string {
	d := m.draw.should
	return fmt.Sprintf("%d x %d, rows %v, %d a sign, with %d rows of legend", d.width, d.height, d.c.Rows(), d.c.Per(), m.draw.legendRows.Is)
}

// Drawings keep their size from step to step and from pattern to pattern: what is expected
// of pixel 100 has more letters than of pixel 1.
func TestDrawingsStayWhileThePatternSteps(t *testing.T) {
	for _, size := range [][2]int{{50, 17}, {80, 21}, {100, 29}, {120, 37}, {160, 47}} {
		for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant()} {
			m, _ := lit(p, true, size[0], size[1], termenv.Ascii)
			places := map[string]int{}
			for i := range m.pats {
				m = press(m, fmt.Sprint(i+1))
				m = press(m, "enter", "enter") // a pattern without steps answers that it has none
				m.View(size[0], size[1])
				places[placeOf(m)]++
				for range min(200, patterns.Steps(m.pattern(), m.settings())) {
					m.View(size[0], size[1])
					places[placeOf(m)]++
					m = press(m, "right")
				}
			}
			assert.Len(t, places, 1, "%v %s: %v", size, p.Name, places)
		}
	}
}

// BenchmarkRoom is the room of a pattern worked out for the first time.
func BenchmarkRoom(b *testing.B) {
	m, _ := lit(prop.Porthole(), true, 120, 37, termenv.TrueColor)
	for b.Loop() {
		m.draw.room = memo.Last[bandKey, int]{}
		m.bandRows(86, 28)
	}
}

// In a wide window the drawings begin on one row with all patterns, a part, a mark and in the dark.
func TestDrawingsBeginOnOneRow(t *testing.T) {
	for _, size := range [][2]int{{120, 37}, {160, 47}, {200, 57}} {
		for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant()} {
			for _, demo := range []bool{true, false} {
				m, _ := lit(p, demo, size[0], size[1], termenv.TrueColor)
				begins := map[int][]string{}
				for _, keys := range [][]string{{"1"}, {"2"}, {"2", "end", " "}, {"3"}, {"4"}, {"5"}, {"6"}, {"7"}, {"8"}, {"9"}, {"5", "p"}, {"l"}} {
					m := press(m, keys...)
					m.View(size[0], size[1])
					begins[m.draw.top] = append(begins[m.draw.top], strings.Join(keys, " "))
				}
				assert.Len(t, begins, 1, "%v %s %v: %v", size, p.Name, demo, begins)
			}
		}
	}
}
