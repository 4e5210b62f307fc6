package light

import (
	"fmt"
	"slices"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// drawings keeps the canvases between two calls of View: a cache, so that a
// frame costs only the rows whose light changed.
type drawings struct {
	should, does picture
}

// A picture is one canvas and what it was laid out for.
type picture struct {
	c             *canvas.Canvas
	width, height int
	view          canvas.View
}

// of gives the canvas for a size, laid out anew only when something differs.
func (p *picture) of(m Model, counts []int, width, height int) *canvas.Canvas {
	if p.c == nil || p.width != width || p.height != height || p.view != m.view() ||
		counts != nil && !p.c.Fits(counts) {
		p.c = canvas.New(m.prop, counts, m.view(), width, height, m.style.Depth)
		p.width, p.height, p.view = width, height, m.view()
	}
	return p.c
}

// drawing is what the prop should show, and in the demo what it does show
// beside it, in exactly width x height cells with a caption each.
func (m Model) drawing(width, height int) []string {
	if m.prop == nil {
		return style.FitLines("\n  No prop yet, keys light nothing: fill in Set-up.", width, height)
	}
	const gap = 2
	each := width
	if m.demo {
		each = (width - gap) / 2
	}
	should := m.draw.should.of(m, nil, each, height-1)
	var sent patterns.Frame
	if m.any {
		sent = m.snap.Sent
	}
	should.SetFrame(sent, m.snap.Level)
	left := append([]string{m.caption("Should show", should, each)}, should.Lines()...)
	if !m.demo {
		return left
	}
	does := m.draw.does.of(m, m.counts(), each, height-1)
	does.SetLight(m.look.Light, m.snap.Level)
	text := "Simulated strip shows"
	if m.look.Serial > 0 && !m.look.Driven {
		text = "Simulated strip, not driven"
	}
	right := append([]string{m.caption(text, does, each)}, does.Lines()...)
	out := make([]string, height)
	for i := range out {
		out[i] = left[i] + style.Cell("", width-2*each) + right[i]
	}
	return out
}

// counts are the lengths of the simulated runs; as planned until light has come.
func (m Model) counts() []int {
	if m.look.Light == nil || slices.ContainsFunc(m.look.Light, func(r []patterns.Colour) bool { return r == nil }) {
		return nil
	}
	return canvas.Counts(m.look.Light)
}

func (m Model) caption(text string, c *canvas.Canvas, width int) string {
	text = m.style.Quiet.Render(text)
	if c.Per() > 1 {
		text += m.style.Quiet.Render(fmt.Sprintf(", each mark %d pixels", c.Per()))
	}
	return style.Cell(text, width)
}
