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

// thin is the Porthole with a feed that carries 41 % of white: 28 AWG, 1.4 A in free air.
func thin() string {
	text := prop.DemoFile("porthole")
	at := strings.LastIndex(text, "18 AWG")
	return text[:at] + "28 AWG" + text[at+len("18 AWG"):]
}

// Where the wires carry less than the plan's level, every page says so at every size, in words, before it
// says anything else of power.
func TestWhatTheWiresCarryIsSaidFirst(t *testing.T) {
	for _, size := range [][2]int{{50, 16}, {80, 20}, {120, 36}, {160, 46}, {200, 56}} {
		b := open(t, thin(), "porthole.toml", size[0], size[1], termenv.Ascii)
		assert.Contains(t, b.m.FarView().Texts[0], "Wires carry 41 %")
		for range pages {
			text := ansi.Strip(b.view())
			at := strings.Index(text, "Wires carry 41 %")
			if assert.Positive(t, at, "%v %s\n%s", size, b.m.pageNow().name(), text) && b.m.pageNow() != page(figuresPage{}) {
				for _, later := range []string{" A of ", "of 8.0 A", "too low", "Draws", "Lowest"} {
					if i := strings.Index(text, later); i >= 0 {
						assert.Less(t, at, i, "%v %s: %s", size, b.m.pageNow().name(), later)
					}
				}
			}
			b.m = b.m.turn(1)
			b.m.rev = b.m.drawn.next()
		}
		b.press("-", "-", "-", "-", "-", "-", "-") // down to a level that they carry
		assert.NotContains(t, fmt.Sprint(b.m.FarView().Texts), "Wires", "level %g", b.m.level)
	}
}

// One level is to be used: the lowest that wires, supply and voltage allow.
func TestTheLevelToUseSparesTheWires(t *testing.T) {
	b := open(t, strings.Replace(thin(), "4.5 V", "3 V", 1), "porthole.toml", 200, 56, termenv.Ascii)
	text := ansi.Strip(b.view())
	assert.Contains(t, text, "Use level 41 % at most, for the wires; 3.00 V at every pixel alone allows 69 %")
	assert.Contains(t, text, "! The wires carry level 41 % in this colour at most.")
}
