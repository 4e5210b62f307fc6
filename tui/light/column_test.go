package light

import (
	"fmt"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// What to expect begins in one column whatever the pattern, dark or at any level, and on the row of the
// large words where it is beside them.
func TestWhatToExpectHasOneColumn(t *testing.T) {
	keys := [][]string{{"1"}, {"1", "right"}, {"2"}, {"3"}, {"4"}, {"5"}, {"6"}, {"7"}, {"7", "right"}, {"8"}, {"8", "end"}, {"8", "up"}, {"9"}, {"l"}}
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant(), prop.BuoyLamp()} {
		for _, size := range [][2]int{{50, 17}, {80, 21}, {100, 30}, {120, 37}, {140, 40}, {160, 47}, {200, 57}} {
			for _, depth := range []termenv.Profile{termenv.Ascii, termenv.TrueColor} {
				columns := map[int][]string{}
				for _, k := range keys {
					m, _ := lit(p, false, size[0], size[1], depth)
					m = press(m, k...)
					for _, l := range strings.Split(ansi.Strip(m.View(size[0], size[1])), "\n") {
						if before, _, found := strings.Cut(l, "Expect:"); found {
							at := len([]rune(before))
							columns[at] = append(columns[at], strings.Join(k, " "))
						}
					}
				}
				require.NotEmpty(t, columns)
				assert.Len(t, columns, 1, fmt.Sprint(p.Name, size, depth))
			}
		}
	}
}
