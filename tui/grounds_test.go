package tui

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/tui/style"
)

// Every page says the same on a dark and on a light background, its legends too. Where light is shown, and
// what was found by it, no pixel, in a drawing, a legend or a table, stands on a background that is not its own
// dark ground; drawings of the plan, also of a part of it or with marks of the record, have none.
func TestOneTextOnEveryBackground(t *testing.T) {
	for _, s := range states {
		for _, size := range sizes[:3] {
			t.Run(fmt.Sprintf("%s %dx%d", s.name, size[0], size[1]), func(t *testing.T) {
				views := map[style.Ground]string{}
				for _, ground := range []style.Ground{style.DarkGround, style.LightGround} {
					inBubble(t, func(t *testing.T) {
						s.ground = ground
						w := walk(t, s, size[0], size[1], termenv.TrueColor)
						views[ground] = w.view()
						w.Close()
					})
				}
				assert.Equal(t, ansi.Strip(views[style.DarkGround]), ansi.Strip(views[style.LightGround]))
				if planned.MatchString(s.name) {
					assert.NotContains(t, views[style.LightGround], panel)
					return
				}
				for _, line := range strings.Split(views[style.LightGround], "\n")[1:] { // the line of pages has such signs too
					assert.Empty(t, bareSigns(line), "%q", line)
				}
			})
		}
	}
}

// planned matches the pages that show the plan. panel is the ground of light among the parameters of a style,
// ITU-T T.416 13.1.8.
var planned = regexp.MustCompile("^(front|set-up|prop|check, (start|which)|record|keys)")

const panel = "48;2;17;17;17"

// sgrOrSign matches an escape sequence for colours (ECMA-48 8.3.117) or the sign of a pixel.
var sgrOrSign = regexp.MustCompile("\x1b\\[([0-9;]*)m|[■▪•●○]")

// backs matches the parameters that set a background.
var backs = regexp.MustCompile("(^|;)(4[0-7]|48;[25];)|(^|;)7(;|$)")

// bareSigns are the signs of pixels of a line that have no background.
func bareSigns(line string) (out string) {
	on := false
	for _, m := range sgrOrSign.FindAllStringSubmatch(line, -1) {
		switch {
		case strings.HasPrefix(m[0], "\x1b"):
			on = m[1] != "0" && m[1] != "" && (on || backs.MatchString(m[1]))
		case !on:
			out += m[0]
		}
	}
	return out
}
