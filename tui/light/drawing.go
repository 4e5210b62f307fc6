package light

import (
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// drawings keeps the canvases between two calls of View: a cache, so that a
// frame costs only the rows whose light changed.
type drawings struct {
	should, does picture
	room         bandSize
	below        belowKey // input of signsBelow
	signsBelow   bool
	top          int // row of their captions on the page
}

// A picture is one canvas and the input of its layout.
type picture struct {
	c             *canvas.Canvas
	width, height int
	view          canvas.View
}

// of gives the canvas for a size, laid out again only when something differs.
func (p *picture) of(m Model, counts []int, width, height int) *canvas.Canvas {
	if p.c == nil || p.width != width || p.height != height || p.view != m.view() ||
		counts != nil && !p.c.Fits(counts) {
		p.c = canvas.New(m.prop, counts, m.view(), width, height, m.style.Depth)
		p.width, p.height, p.view = width, height, m.view()
	}
	return p.c
}

// gap is the space between two drawings, in cells.
const gap = 2

// pictures is the room of each drawing with its caption.
func (m Model) pictures() (width, height int) {
	width, height = m.size.Width-sideWidth-edge, m.size.Height-m.faceRows()-2
	if m.compact() {
		width, height = m.size.Width-2*edge, m.size.Height-2-m.faceRows()-3
	}
	if m.demo {
		width = (width - gap) / 2
	}
	return max(0, width), max(0, height)
}

// drawing is what the prop should show, and in the demo what it does show beside it, with
// a caption each, in at most height lines: without those that a drawing which is narrower or
// wider than its room leaves free.
func (m Model) drawing(width, height int) []string {
	each := width
	if m.demo {
		each = (width - gap) / 2
	}
	rows := height - 1
	if m.signsApart(each, height) {
		rows--
	}
	should := m.draw.should.of(m, nil, each, rows)
	var sent patterns.Frame
	if m.any {
		sent = m.snap.Sent
	}
	should.SetMark(m.markedPixel())
	m.choosePart(should)
	should.SetFrame(sent, m.snap.Level)
	if !m.demo {
		first, after := m.used()
		return append([]string{m.caption("Should show", should, each)}, should.Lines()[first:after]...)
	}
	does := m.draw.does.of(m, m.counts(), each, rows)
	does.SetMark(m.markedPixel())
	m.choosePart(does)
	does.SetLight(m.look.Light, m.snap.Level)
	between := style.Cell("", width-2*each)
	var out []string
	if m.draw.signsBelow {
		out = append(out, m.style.Quiet.Render(style.Cell("Should show", each))+between+m.style.Quiet.Render(style.Cell(m.doesName(each), each)), m.signsLine(should, width))
	} else {
		left, right := m.captions(should, does, each)
		out = append(out, left+between+right)
	}
	first, after := m.used()
	for i := first; i < after; i++ {
		out = append(out, should.Lines()[i]+between+does.Lines()[i])
	}
	return out
}

// belowKey is the input of signsApart.
type belowKey struct {
	of           *prop.Prop
	view         canvas.View
	each, height int
}

// leastCaption is the width from which a caption of a demo has its signs beside it.
const leastCaption = 60

// signsApart reports whether the signs of a demo's two drawings, which are the same, stand
// once, in a line below the captions: where these are too short for them and the line
// costs no mark.
func (m Model) signsApart(each, height int) bool {
	d, k := m.draw, belowKey{m.prop, m.view(), each, height}
	if d.below == k {
		return d.signsBelow
	}
	d.below, d.signsBelow = k, false
	if m.demo && each < leastCaption && !m.onePixel() && height > 2 {
		with := canvas.New(m.prop, nil, m.view(), each, height-2, m.style.Depth)
		without := canvas.New(m.prop, nil, m.view(), each, height-1, m.style.Depth)
		d.signsBelow = with.Per() == without.Per() && with.Crowded() <= without.Crowded()
	}
	return d.signsBelow
}

// signsLine is the scale and the signs of both drawings as far as there is room.
func (m Model) signsLine(c *canvas.Canvas, width int) string {
	text := m.signsAfter(strings.TrimPrefix(c.Scale(), ", "), c, width)
	return style.Cell(m.withMark(m.style.Quiet, strings.TrimLeft(text, " ")), width)
}

// doesName is the name of the second drawing of a demo.
func (m Model) doesName(width int) string {
	names := []string{"Simulated prop shows", "Simulated shows", "Shows"}
	if m.look.Serial > 0 && !m.look.Driven {
		names = []string{"Simulated prop, not driven", "Simulated, not driven", "Not driven"}
	}
	return style.FirstFit(width, append(names, "")...)
}

// used are the lines of the drawings that are shown: the first, and the one after the last.
func (m Model) used() (first, after int) {
	first, after = m.draw.should.c.Used()
	if m.demo && m.draw.does.c != nil {
		f, a := m.draw.does.c.Used()
		first, after = min(first, f), max(after, a)
	}
	return first, after
}

// counts are the lengths of the simulated runs; the planned ones until light has arrived.
func (m Model) counts() []int {
	if m.look.Light == nil || slices.ContainsFunc(m.look.Light, func(r []patterns.Colour) bool { return r == nil }) {
		return nil
	}
	return canvas.Counts(m.look.Light)
}

// captions are those of the two drawings of a demo. Where there is no room for scale and
// signs in one, the one has the scale of both and the other the signs.
func (m Model) captions(should, does *canvas.Canvas, width int) (first, second string) {
	idle := m.look.Serial > 0 && !m.look.Driven
	short := should.Per() > 1 && style.Width("Should"+should.Scale()) > width
	switch {
	case short && idle:
		return m.caption("Should show", should, width), m.withSigns("Simulated, not driven", does, width)
	case short:
		return m.withSigns("Should show", should, width), m.caption("Shows", does, width)
	case idle:
		return m.caption("Should show", should, width), m.caption("Simulated prop, not driven", does, width)
	}
	first = m.caption("Should show", should, width)
	if should.Per() == does.Per() && !strings.Contains(ansi.Strip(first), should.Legend()) {
		return first, m.withSigns("Simulated", does, width)
	}
	return first, m.caption("Simulated prop shows", does, width)
}

// caption names a drawing and as many of its signs as fit.
func (m Model) caption(text string, c *canvas.Canvas, width int) string {
	if c.Per() > 1 {
		for style.Width(text+c.Scale()) > width && strings.Contains(text, " ") {
			text = text[:strings.LastIndex(text, " ")]
		}
		if text += c.Scale(); style.Width(text) > width { // the scale alone
			text = strings.TrimPrefix(c.Scale(), ", ")
		}
	}
	return m.withSigns(text, c, width)
}

// withSigns adds the signs of a drawing to its caption as far as there is room: what is
// the news first.
func (m Model) withSigns(text string, c *canvas.Canvas, width int) string {
	return style.Cell(m.withMark(m.style.Quiet, m.signsAfter(text, c, width)), width)
}

// signsAfter is a text and the signs of a drawing as far as there is room.
func (m Model) signsAfter(text string, c *canvas.Canvas, width int) string {
	var signs []string
	if m.markedPixel() >= 0 {
		signs = append(signs, canvas.Marked+" marked")
	}
	if c.HasHoles() {
		signs = append(signs, canvas.Hole+" left empty")
	}
	signs = append(signs, c.Legend())
	signs = append(signs, c.LetterSigns()...)
	for _, s := range signs {
		if with := text + "  " + s; s != "" && style.Width(with) <= width {
			text = with
		}
	}
	return text
}
