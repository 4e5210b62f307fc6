package plan

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/canvas"
)

// The sign of a pixel of the plan has its name wherever it is drawn, on every page at every size.
func TestThePlansSignIsNamed(t *testing.T) {
	seen := 0
	for _, name := range []string{"porthole", "pennant"} {
		for _, size := range [][2]int{{50, 16}, {80, 20}, {120, 36}, {160, 46}, {200, 56}, {141, 31}} {
			b := open(t, prop.DemoFile(name), "p.toml", size[0], size[1], termenv.Ascii)
			for range pages {
				text := ansi.Strip(b.view())
				if n := strings.Count(text, canvas.PlanSign); n > 0 {
					seen++
					assert.Regexp(t, canvas.PlanSign+` \d+ (of \d+ )?pixels`, text, "%s %v %s", name, size, b.m.pageNow().name())
				}
				b.m = b.m.turn(1)
				b.m.rev = b.m.drawn.next()
			}
		}
	}
	assert.Positive(t, seen)
}
