package tui

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/tui/canvas"
)

// No word is alone on the last line of a text, on any page at any of these sizes: the line above it has
// several words, and nothing goes on below it.
func TestNoWordIsAloneOnALine(t *testing.T) {
	for _, s := range states {
		t.Run(s.name, func(t *testing.T) {
			var alone []string
			for _, size := range [][2]int{{50, 20}, {64, 22}, {80, 24}, {97, 28}, {120, 40}, {143, 44}} {
				inBubble(t, func(t *testing.T) {
					w := walk(t, s, size[0], size[1], termenv.Ascii)
					defer w.Close()
					lines := strings.Split(ansi.Strip(w.view()), "\n")
					for i := 2; i < len(lines)-3; i++ {
						for at, text := range segments(lines[i]) {
							above, below := segments(lines[i-1])[at], segments(lines[i+1])[at]
							title := text == canvas.ExpectedTitle.Full // of the drawing below, and no end of what stands above
							if stub.MatchString(text) && !title && len(above) > 18 && strings.Contains(above, " ") && below == "" {
								alone = append(alone, fmt.Sprintf("%v: %q, %q", size, above, text))
							}
						}
					}
				})
			}
			assert.Empty(t, alone)
		})
	}
}

// stub matches one word, or a figure.
var stub = regexp.MustCompile(`^[A-Za-z0-9%.'` + "`" + `,;:-]{2,}$`)

// segments are the texts of a line by the column where each begins: three spaces end one.
func segments(line string) map[int]string {
	out := map[int]string{}
	for _, at := range regexp.MustCompile(`\S+( {1,2}\S+)*`).FindAllStringIndex(line, -1) {
		out[ansi.StringWidth(line[:at[0]])] = line[at[0]:at[1]]
	}
	return out
}
