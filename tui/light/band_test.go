package light

import (
	"fmt"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// Drawings keep their size and place from step to step: what is expected of pixel 100
// has more letters than of pixel 1.
func TestDrawingsStayWhileThePatternSteps(t *testing.T) {
	for _, size := range [][2]int{{50, 17}, {80, 21}, {100, 29}, {120, 37}, {160, 47}} {
		for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant()} {
			m, _ := lit(p, true, size[0], size[1], termenv.Ascii)
			for i := range m.pats {
				m = press(m, fmt.Sprint(i+1))
				places := map[[2]int]int{}
				m = press(m, "enter", "enter") // a pattern without steps answers that it has none
				m.View(size[0], size[1])
				places[[2]int{m.draw.should.width, m.draw.should.height}]++
				for range min(200, patterns.Steps(m.pattern(), m.settings())) {
					m.View(size[0], size[1])
					places[[2]int{m.draw.should.width, m.draw.should.height}]++
					m = press(m, "right")
				}
				assert.Len(t, places, 1, "%v %s, %s: %v", size, p.Name, m.pattern().Name, places)
			}
		}
	}
}

// BenchmarkRoom is the room of a pattern worked out for the first time.
func BenchmarkRoom(b *testing.B) {
	m, _ := lit(prop.Porthole(), true, 120, 37, termenv.TrueColor)
	for b.Loop() {
		m.draw.room = bandSize{}
		m.bandRows(86, 28)
	}
}
