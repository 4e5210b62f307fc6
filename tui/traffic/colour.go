package traffic

import (
	"fmt"
	"strings"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// A light is drawn, marked and named by one rule, canvas.Seen, on one scale for all: by the values
// that are sent, 0 to 255, whoever sends them.

// wholeScale is the level of that scale: half of full, so that a pixel at the level at which a bench
// begins is drawn as lit here too, as on Light.
const wholeScale = 0.5

// frames are the prop as it is lit and as we light it, in the colours that are drawn.
func (m Model) frames() (shown, yours patterns.Frame) {
	shown, yours = m.lights()
	for i := range shown {
		shown[i], _ = m.seen(shown[i])
		yours[i], _ = m.seen(yours[i])
	}
	return shown, yours
}

// seen is a light as it is drawn, and its name.
func (m Model) seen(c patterns.Colour) (patterns.Colour, string) {
	return canvas.Seen(c, wholeScale, m.style.Depth)
}

// lights are the prop as it is lit and as we light it.
func (m Model) lights() (shown, yours patterns.Frame) {
	shown, yours = m.light.Shown(), make(patterns.Frame, len(m.light.Pixels))
	for i, p := range m.light.Pixels {
		yours[i] = p.Yours
	}
	return shown, yours
}

// mark is the sign of a light as the drawing has it, with a cell of its ground on each side: on a light
// page, white without it looks like a gap.
func (m Model) mark(c patterns.Colour) string {
	seen, _ := m.seen(c)
	return m.onGround(canvas.Pixel(seen, wholeScale, m.style.Depth))
}

// onGround is a sign with a cell of ground on each side.
func (m Model) onGround(sign string) string {
	if m.style.Depth == style.Letters {
		return " " + sign + " "
	}
	out, _ := canvas.Panel(m.style, []string{sign}, 1, 0)
	return out[0]
}

// leastName is the least room for the names of lights.
const leastName = len("dim white")

// longestLight is the room for the longest name of a light of the prop, and of what we send: not less than
// it was, so that columns keep their places.
func (m Model) longestLight() int {
	longest := max(leastName, m.nameCells)
	for _, p := range m.light.Pixels {
		for _, c := range []patterns.Colour{p.Shown, p.Yours} {
			_, name := m.seen(c)
			longest = max(longest, len(name))
		}
	}
	return longest
}

// A paint is how much is said of a light beside its mark and name.
type paint struct{ values bool }

// lightCells is the room for the mark of a light and its name, but for the first cell of ground.
func (m Model) lightCells() int { return markCells + 1 + max(leastName, m.nameCells) }

// width is what a light takes, in cells.
func (p paint) width(m Model) int {
	w := m.lightCells()
	if p.values {
		w += 4 * m.most()
	}
	return w
}

// colour is a mark, the name of the light, and the values of its channels, 0 to 255, in
// the order red, green, blue, white, cool white, unless those of its pixels vary.
func (m Model) colour(c patterns.Colour, p paint, vary bool) string {
	if vary && p.values {
		const word = "differ"
		from := (style.Width(m.channelHeads()) - len(word) + 1) / 2 // in the middle of the values
		return style.Cell(m.described(m.mark(c), c, paint{}), m.lightCells()+1+from) + m.style.Quiet.Render(word)
	}
	return m.described(m.mark(c), c, p)
}

// described is a light behind a mark on its ground, from which the name is a cell apart.
func (m Model) described(mark string, c patterns.Colour, p paint) string {
	_, name := m.seen(c)
	text := mark + name
	if m.style.Depth != style.Letters {
		text = mark + " " + name
	}
	if !p.values {
		return text
	}
	text = style.Cell(text, m.lightCells()+1)
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
