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

// cube is a colour of the 256 as xterm has it, of its cube of six steps.
func cube(c lipgloss.CompleteColor) [3]uint8 {
	n, _ := strconv.Atoi(c.ANSI256)
	steps := [6]uint8{0, 95, 135, 175, 215, 255}
	return [3]uint8{steps[(n-16)/36], steps[(n-16)/6%6], steps[(n-16)%6]}
}

// Any two of good, warning and accent differ for every eye by both models, in true colour
// and in 256: by 10 in CIE 1976, five times what is just seen side by side. The
// ground does not matter: they stand beside each other on it.
func TestColoursOfTextDiffer(t *testing.T) {
	all := map[string]lipgloss.CompleteColor{"brass": brass, "leaf": leaf, "rust": rust}
	for one, a := range all {
		for other, b := range all {
			if one >= other {
				continue
			}
			for _, k := range vision.Kinds() {
				for _, as := range []func(lipgloss.CompleteColor) [3]uint8{rgb, cube} {
					assert.Greater(t, vision.Apart(seen(k, as(a)), seen(k, as(b))), 10.0, "%s and %s, %s", one, other, k)
				}
			}
		}
	}
}

func seen(k vision.Kind, c [3]uint8) [3]uint8 {
	r, g, b := vision.Seen(k, c)
	return [3]uint8{r, g, b}
}

// Every colour of text reads on a dark and on a light terminal, for every eye:
// 3:1 for large or bold text (WCAG 2.1 1.4.3), on near black and near white.
func TestColoursOfTextRead(t *testing.T) {
	for _, ground := range [][3]uint8{{0, 0, 0}, {20, 20, 20}, {250, 250, 250}, {255, 255, 255}} {
		for name, c := range map[string]lipgloss.CompleteColor{"brass": brass, "leaf": leaf, "rust": rust} {
			for _, k := range vision.Kinds() {
				assert.GreaterOrEqual(t, vision.Contrast(seen(k, rgb(c)), ground), 3.0, "%s on %v, %s", name, ground, k)
			}
		}
	}
}
