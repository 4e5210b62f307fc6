package light

import (
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// drawings keeps the canvases between two calls of View: a cache, so that a
// frame costs only the rows whose light changed.
type drawings struct {
	should, does picture
	room, steps  bandSize
	legend       legendKey
	legendRows   int
	top          int // row of their captions on the page
	lead         int // rows from there to the first of the drawings
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

// gap is the space between two drawings in so many cells: larger where these are drawn as they lie.
func gap(width int) int {
	const wide = 80
	if width < wide {
		return 2
	}
	return 4
}

// drawingRows is the height of the drawings and their legend in the rows below a head: the
// same for all patterns, whose words take more rows or fewer.
func (m Model) drawingRows(width, height int) int {
	rows, least := height-m.leastDrawing()-1, 0
	if m.demo && m.compact() {
		least = besideRows
	}
	return max(least, height-min(m.bandRows(width, rows), rows+m.leastDrawing())-1)
}

// pictures is the room of each drawing with its legend.
func (m Model) pictures() (width, height int) {
	width, height = m.size.Width-sideWidth-edge, m.size.Height
	if m.compact() {
		width, height = m.size.Width-2*edge, m.size.Height-narrowHead
	}
	height = m.drawingRows(width, height)
	if m.demo {
		width = (width - gap(width)) / 2
	}
	return max(0, width), height
}

// drawing is what the prop should show, and in the demo what it does show beside it, each
// with its legend, in at most height lines: without those that a drawing which is narrower or
// wider than its room leaves free.
func (m Model) drawing(width, height int) []string {
	each := width
	if m.demo {
		each = (width - gap(width)) / 2
	}
	rows := m.legendRows(each, height)
	should := m.draw.should.of(m, nil, each, height-rows)
	var sent patterns.Frame
	if m.any {
		sent = m.snap.Sent
	}
	should.SetMark(m.markedPixel())
	m.choosePart(should)
	should.SetFrame(sent, m.snap.Level)
	if !m.demo {
		first, after := m.used()
		return m.under(m.legend(each, rows, shouldTitle.With(should.Scale()), m.names(should)), should.Lines()[first:after], height)
	}
	does := m.draw.does.of(m, m.counts(), each, height-rows)
	does.SetMark(m.markedPixel())
	m.choosePart(does)
	does.SetLight(m.look.Light, m.snap.Level)
	between := style.Cell("", width-2*each)
	first, after := m.used()
	var both []string
	for i := first; i < after; i++ {
		both = append(both, should.Lines()[i]+between+does.Lines()[i])
	}
	return m.under(m.legends(should, does, each, between, rows), both, height)
}

// under is the drawings under their legend, of which no empty row stays beside the one below
// it, and keeps where they begin, for clicks.
func (m Model) under(legend, drawn []string, height int) []string {
	out := canvas.Under(style.WithoutEnd(legend), drawn, height)
	m.draw.lead = len(out) - len(drawn)
	return out
}

// shouldTitle is what the first drawing is.
var shouldTitle = canvas.Name{Full: "Should show", Brief: "Should"}

// doesTitle is what the second drawing of a demo is.
func (m Model) doesTitle() canvas.Name {
	if m.look.Serial > 0 && !m.look.Driven {
		return canvas.Name{Full: "Simulated prop, not driven", Brief: "Not driven"}
	}
	return canvas.Name{Full: "Simulated prop shows", Brief: "Simulated"}
}

// legends are those of the two drawings of a demo. In several rows the signs of both stand once,
// above the titles, each of which is right above its drawing.
func (m Model) legends(should, does *canvas.Canvas, each int, between string, rows int) []string {
	if rows == 1 {
		left := m.legend(each, 1, shouldTitle.With(should.Scale()), m.names(should))
		title, names := m.doesTitle().With(does.Scale()), m.names(does)
		if _, all := canvas.Legend(each, 1, append([]canvas.Name{title}, names...)...); !all {
			names = darkFirst(names)
		}
		right := m.legend(each, 1, title, names)
		return []string{left[0] + between + right[0]}
	}
	names := append([]canvas.Name{should.Scale()}, m.names(should)...)
	for _, n := range m.names(does) {
		if !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	left, right := m.legend(each, 1, shouldTitle, nil), m.legend(each, 1, m.doesTitle(), nil)
	return append(m.legend(2*each+len(between), rows-1, canvas.Name{}, names), left[0]+between+right[0])
}

// darkFirst are names with that of dark pixels as the first: one row may have no room for more.
func darkFirst(names []canvas.Name) []canvas.Name {
	out := slices.Clone(names)
	for i, n := range names {
		if strings.HasSuffix(n.Full, "dark") {
			copy(out[1:], names[:i])
			out[0] = n
			break
		}
	}
	return out
}

// legend is a title and names of signs in so many rows, as far as there is room.
func (m Model) legend(width, rows int, title canvas.Name, names []canvas.Name) []string {
	out, _ := canvas.Legend(width, rows, append([]canvas.Name{title}, names...)...)
	for len(out) < rows {
		out = append(out, "")
	}
	for i := range out {
		out[i] = style.Cell(m.withLight(out[i]), width)
	}
	return out
}

// markedName is the sign of the pixel that is marked.
var markedName = canvas.Named(canvas.Marked + " marked")

// names are the signs of a drawing: what is the news first.
func (m Model) names(c *canvas.Canvas) (out []canvas.Name) {
	if m.markedPixel() >= 0 {
		out = append(out, markedName)
	}
	light := c.LightNames()
	if i := slices.Index(light, canvas.DarkName); i > 1 {
		light = slices.Insert(slices.Delete(light, i, i+1), 1, canvas.DarkName) // before the letters, of which some may have no room
	}
	out = append(out, light...)
	out = append(out, c.ShadeNames(false)...)
	return append(out, m.lightNames()...) // the last: they may have no room
}

// Words of lit pixels in a legend.
const (
	litWord    = "lit"
	newestWord = "newest"
)

// A light of the frame now, and its word in a legend.
type namedLight struct {
	word  string
	light patterns.Colour
	sign  string
}

// lights are the lights of the frame now, where they are few: what is all alike is just lit.
func (m Model) lights() (out []namedLight) {
	if m.style.Depth == style.Letters || m.unlit() || m.onePixel() || !m.any {
		return nil
	}
	for _, c := range m.snap.Wanted {
		known := slices.ContainsFunc(out, func(l namedLight) bool { return l.light == c })
		if c.Dark() || known {
			continue
		}
		if len(out) == mostLights {
			return nil
		}
		_, word := canvas.Seen(c, 1, m.style.Depth)
		if i := strings.LastIndex(word, " "); i >= 0 { // the text says how bright
			word = word[i+1:]
		}
		if m.pattern().Counts {
			word = newestWord
			if max(c.R, c.G, c.B, c.W, c.C) < 255 {
				word = litWord
			}
			if word == newestWord && m.mark > 0 { // its mark is drawn instead
				continue
			}
		}
		out = append(out, namedLight{word, c, canvas.SignOf(c, 1)})
	}
	if len(out) == 1 {
		out[0].word = litWord
	}
	return out
}

// mostLights are as many lights as a legend names.
const mostLights = 3

// lightNames are their names; where these have no room, their signs together with one word.
func (m Model) lightNames() []canvas.Name {
	lights := m.lights()
	var full []string
	for _, l := range lights {
		full = append(full, canvas.Swatch(l.sign, l.word))
	}
	if len(full) == 0 {
		return nil
	}
	return []canvas.Name{{Full: strings.Join(full, "\u00a0\u00a0"), Brief: canvas.Swatch(signsOf(lights), litWord)}}
}

func signsOf(lights []namedLight) (out string) {
	for _, l := range lights {
		out += l.sign
	}
	return out
}

// withLight is a line of a legend with the signs of light in their colours.
func (m Model) withLight(line string) string {
	lights, own, quiet := m.lights(), canvas.Lights{}, m.style.OnPanel().Quiet.Render
	for _, l := range lights {
		own[l.word] = l.light
	}
	before, after, brief := line, "", false
	if len(lights) > 1 {
		before, after, brief = strings.Cut(line, canvas.Swatch(signsOf(lights), litWord))
	}
	out := canvas.InLegend(before, m.style.Depth, own, quiet)
	if !brief {
		return out
	}
	for _, l := range lights {
		out += canvas.Inked(l.sign, l.light, 1, m.style.Depth)
	}
	return out + quiet(canvas.Swatch("", litWord)) + canvas.InLegend(after, m.style.Depth, own, quiet)
}

// legendKey is all that the rows of a legend hang on.
type legendKey struct {
	of           *prop.Prop
	view         canvas.View
	each, height int
	part         bool
}

// mostLegend is as many rows as a legend has.
const mostLegend = 3

// legendRows is how many rows the legend of a drawing has, whatever is lit, so that drawings
// keep their place: as many as it takes, if they cost no mark.
func (m Model) legendRows(each, height int) int {
	d, k := m.draw, legendKey{m.prop, m.view(), each, height, m.sub != nil}
	if d.legend == k {
		return d.legendRows
	}
	d.legend, d.legendRows = k, 1
	if m.demo && m.compact() && !m.onePixel() && height > mostLegend {
		d.legendRows = 2 // the titles, and the signs of both
		return 2
	}
	if m.onePixel() || height <= mostLegend {
		return 1
	}
	below := func(rows int) *canvas.Canvas {
		return canvas.New(m.prop, nil, m.view(), each, height-rows, m.style.Depth)
	}
	d.legendRows = canvas.LegendRows(mostLegend, below, func(c *canvas.Canvas, rows int) (int, []canvas.Name) { return m.mostNamed(c, each, rows) })
	return d.legendRows
}

// mostNamed is the width of a legend of so many rows and all that it may say.
func (m Model) mostNamed(c *canvas.Canvas, each, rows int) (int, []canvas.Name) {
	title, names := m.doesTitle().With(c.Scale()), append([]canvas.Name{markedName}, c.MostNames(m.sub != nil)...)
	names = append(names, c.MostShadeNames(false)...)
	if m.style.Depth != style.Letters {
		names = append(names, canvas.Named(canvas.Swatch(canvas.LitSign, litWord)))
	}
	if m.demo && rows > 1 { // the signs of both drawings below the titles
		title, each = c.Scale(), 2*each+gap(2*each+2)
	}
	return each, append([]canvas.Name{title}, names...)
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
