package style

import (
	"strconv"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/testkit/vision"
)

func rgb(c lipgloss.CompleteColor) [3]uint8 {
	v, _ := strconv.ParseUint(c.TrueColor[1:], 16, 32)
	return [3]uint8{uint8(v >> 16), uint8(v >> 8), uint8(v)}
}

// Good differs from warning and from the accent, for every eye. Accent and warning look
// alike to an eye without middle cones: a word or a sign tells them apart everywhere.
func TestColoursOfTextDiffer(t *testing.T) {
	pairs := [][2]lipgloss.CompleteColor{{leaf, rust}, {leaf, brass}}
	for _, pair := range pairs {
		for _, k := range vision.Kinds() {
			var c [2][3]uint8
			for i := range pair {
				r, g, b := vision.Seen(k, rgb(pair[i]))
				c[i] = [3]uint8{r, g, b}
			}
			assert.Greater(t, vision.Apart(c[0], c[1]), 10.0, "%v, %s", pair, k)
		}
	}
}

// Every colour of text reads on a dark and on a light terminal, for every eye:
// 3:1 for large or bold text (WCAG 2.1 1.4.3), on near black and near white.
func TestColoursOfTextRead(t *testing.T) {
	for _, ground := range [][3]uint8{{0, 0, 0}, {20, 20, 20}, {250, 250, 250}, {255, 255, 255}} {
		for name, c := range map[string]lipgloss.CompleteColor{"brass": brass, "leaf": leaf, "rust": rust} {
			for _, k := range vision.Kinds() {
				r, g, b := vision.Seen(k, rgb(c))
				assert.GreaterOrEqual(t, vision.Contrast([3]uint8{r, g, b}, ground), 3.0, "%s on %v, %s", name, ground, k)
			}
		}
	}
}
