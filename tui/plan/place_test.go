package plan

import (
	"fmt"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
)

// Beside every page the drawing stands in one place and has one size, and its legend begins where the text does.
func TestTheDrawingKeepsItsPlaceFromPageToPage(t *testing.T) {
	for _, name := range []string{"porthole", "pennant"} {
		for _, size := range [][2]int{{160, 46}, {200, 56}} {
			b := open(t, prop.DemoFile(name), name+".toml", size[0], size[1], termenv.Ascii)
			places := map[string]bool{}
			for range pages {
				lines := strings.Split(ansi.Strip(b.view()), "\n")
				from := b.m.leftWidth() + 1 + 2 + b.m.textWidth() + 1
				legend, text := -1, -1
				for y, l := range lines {
					cells := []rune(l)
					drawn := string(cells[from:])
					if strings.Contains(drawn, " its way") || strings.Contains(drawn, "▶ data in") {
						legend = y
					}
					if at := strings.IndexRune(drawn, '▶'); at >= 0 && legend >= 0 && y > legend {
						places[fmt.Sprintf("data enters in row %d, column %d", y, len([]rune(drawn[:at])))] = true
						break
					}
				}
				for y := len(b.m.above(b.m.rightWidth())) + tabRows + 1; text < 0; y++ {
					if cells := []rune(lines[y]); strings.TrimSpace(string(cells[from:])) != "" {
						text = y
						assert.NotEmpty(t, strings.TrimSpace(string(cells[b.m.leftWidth()+3:from])), "%s %v %s: text beside the legend", name, size, b.m.pageNow().name())
					}
				}
				b.m = b.m.turn(1)
				b.m.rev = b.m.drawn.next()
			}
			assert.Len(t, places, 1, "%s %v: %v", name, size, places)
		}
	}
}
