package traffic

import (
	"fmt"
	"strings"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// A light is drawn, marked and named by one rule, canvas.Seen, beside the brightest of
// its own frame: the light of a bench at 20 % is named as on all other pages, and the
// values beside it tell how bright it is.

// lowest is the value of the lowest level that light is measured by, 10 %: two thousandths
// of the light of a lamp are not bright because all else is dark.
const lowest = 26

// brightest is the highest channel value as a level, lowest at least.
func brightest(f patterns.Frame) float64 {
	top := uint8(lowest)
	for _, c := range f {
		top = max(top, c.R, c.G, c.B, c.W, c.C)
	}
	return float64(top) / 255
}

// frames are the prop as it is lit and as we light it, in the colours that are drawn,
// and the level of each.
func (m Model) frames() (shown, yours patterns.Frame, shownLevel, yourLevel float64) {
	shown, yours = m.lights()
	yourLevel = brightest(yours)
	shownLevel = max(brightest(shown), yourLevel) // a faint rival is faint beside what we send
	for i := range shown {
		shown[i], _ = canvas.Seen(shown[i], shownLevel, m.style.Depth)
		yours[i], _ = canvas.Seen(yours[i], yourLevel, m.style.Depth)
	}
	return shown, yours, shownLevel, yourLevel
}

// lights are the prop as it is lit and as we light it.
func (m Model) lights() (shown, yours patterns.Frame) {
	shown, yours = make(patterns.Frame, len(m.light.Pixels)), make(patterns.Frame, len(m.light.Pixels))
	for i, p := range m.light.Pixels {
		shown[i], yours[i] = p.Shown, p.Yours
	}
	return shown, yours
}

// mark is a sign in the colour of a light: filled where it is lit. On a light background,
// where colours need dark ground that would join the signs of a table to a bar, the name
// beside it says enough: a plain sign would show white as black.
func (m Model) mark(c patterns.Colour, level float64) string {
	if c.Dark() {
		return canvas.Hole
	}
	if m.style.OnLight {
		return " "
	}
	seen, _ := canvas.Seen(c, level, m.style.Depth)
	return canvas.Inked("●", seen, level, m.style.Depth)
}

// nameCells is the room for the longest name of a colour.
const nameCells = len("dim magenta")

// A paint is how much is said of a light beside its mark and name.
type paint struct{ values bool }

// width is what a light takes, in cells.
func (p paint) width(m Model) int {
	w := markCells + nameCells
	if p.values {
		w += 4 * m.most()
	}
	return w
}

// colour is a mark, the name of the light, and the values of its channels, 0 to 255, in
// the order red, green, blue, white, cool white.
func (m Model) colour(c patterns.Colour, level float64, p paint) string {
	_, name := canvas.Seen(c, level, m.style.Depth)
	text := m.mark(c, level) + " " + name
	if !p.values {
		return text
	}
	text = style.Cell(text, markCells+nameCells)
	for ch := range patterns.Channel(patterns.NumChannels) {
		if m.has[ch] {
			text += fmt.Sprintf(" %3d", c.Get(ch))
		}
	}
	return text
}

// channelHeads are over the values of a light.
func (m Model) channelHeads() string {
	var b strings.Builder
	for ch := range patterns.Channel(patterns.NumChannels) {
		if m.has[ch] {
			b.WriteString(fmt.Sprintf(" %3s", initial(ch)))
		}
	}
	return b.String()
}
