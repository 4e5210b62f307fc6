package light

import (
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// doesTitle is what the second drawing of a demo is.
func (m Model) doesTitle() canvas.Name {
	if m.look.Serial > 0 && !m.look.Driven {
		return canvas.Name{Full: canvas.SimulatedTitle.Full + ", not driven", Brief: "Not driven"}
	}
	return canvas.SimulatedTitle
}

// A caption writes the legends of drawings of one frame.
type caption struct {
	Model
	lights []namedLight
	own    canvas.Lights // these by their words
}

func (m Model) caption(drawn ...*canvas.Canvas) caption {
	c := caption{m, m.lights(drawn...), canvas.Lights{}}
	for _, l := range c.lights {
		c.own[l.word] = l.Light
	}
	return c
}

// captionOf is the legend of one drawing.
func (m Model) captionOf(drawn *canvas.Canvas, title canvas.Name, width, rows int) []string {
	c := m.caption(drawn)
	return c.legend(width, rows, title.With(drawn.Scale()), append(c.names(drawn), c.lightNames()...))
}

// captionOfBoth is the legends of the two drawings of a demo. In several rows the signs of both stand once,
// above the titles, each of which is right above its drawing.
func (m Model) captionOfBoth(should, does *canvas.Canvas, each int, between string, rows int) []string {
	if rows == 1 {
		room := each - max(0, besideLegend-len(between))
		a, b := m.caption(should), m.caption(does)
		left := slices.Concat([]canvas.Name{canvas.ExpectedTitle.With(should.Scale())}, a.names(should), a.lightNames())
		right := slices.Concat([]canvas.Name{m.doesTitle().With(does.Scale())}, b.names(does), b.lightNames())
		if a.wantsShort(room, 1, left) || b.wantsShort(room, 1, right) {
			left, right = a.othersInShort(left), b.othersInShort(right)
		}
		left, right = canvas.OneForm(room, 1, left, right)
		if _, all := canvas.Legend(room, 1, right...); !all {
			right = append(right[:1:1], darkFirst(right[1:])...)
		}
		return []string{style.Cell(a.legend(room, 1, left[0], left[1:])[0], each) + between + b.legend(room, 1, right[0], right[1:])[0]}
	}
	c := m.caption(should, does)
	names := canvas.Union([]canvas.Name{should.Scale()}, c.names(should), c.names(does), c.lightNames())
	left, right := c.legend(each, 1, canvas.ExpectedTitle, nil), c.legend(each, 1, m.doesTitle(), nil)
	return append(c.legend(2*each+len(between), rows-1, canvas.Name{}, names), left[0]+between+right[0])
}

// besideLegend is the least space between two legends side by side.
const besideLegend = 2

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

// legend is a title and names of signs in just so many rows, as far as there is room.
func (m caption) legend(width, rows int, title canvas.Name, names []canvas.Name) []string {
	if m.wantsShort(width, rows, append([]canvas.Name{title}, names...)) {
		names = m.othersInShort(names)
	}
	out, _ := canvas.LegendIn(width, rows, title, names...)
	for len(out) < rows {
		out = append(out, "")
	}
	for i := range out {
		out[i] = style.Cell(m.withLight(out[i]), width)
	}
	return out
}

// wantsShort reports whether each light has its name in a legend only with the other names, the title first, in short.
func (m caption) wantsShort(width, rows int, names []canvas.Name) bool {
	if len(m.lights) < 2 {
		return false
	}
	full, _ := canvas.LegendIn(width, rows, names[0], names[1:]...)
	short, all := canvas.LegendIn(width, rows, names[0], m.othersInShort(names[1:])...)
	return m.together(full) && all && !m.together(short)
}

// together reports whether the lights have one word in these lines.
func (m caption) together(lines []string) bool {
	return strings.Contains(strings.Join(lines, "\n"), canvas.Swatch(signsOf(m.lights), litWord))
}

// othersInShort are names in their short form, but for those of lights.
func (m caption) othersInShort(names []canvas.Name) []canvas.Name {
	out, lights := canvas.InShort(names), m.lightNames()
	for i, n := range names {
		if slices.Contains(lights, n) {
			out[i] = n
		}
	}
	return out
}

// markedName is the sign of the pixel that is marked.
var markedName = canvas.Named(canvas.Marked + " marked")

// names are the signs of a drawing but for light: what is the news first.
func (m caption) names(c *canvas.Canvas) (out []canvas.Name) {
	if m.markedPixel() >= 0 {
		out = append(out, markedName)
	}
	light := c.LightNames()
	if i := slices.Index(light, canvas.DarkName); i > 1 {
		light = slices.Insert(slices.Delete(light, i, i+1), 1, canvas.DarkName) // before the letters, of which some may have no room
	}
	out = append(out, light...)
	return append(out, c.ShadeNames(false)...)
}

// Words of lit pixels in a legend.
const (
	litWord    = "lit"
	newestWord = "newest"
)

// A light of the drawings now, and its word in a legend.
type namedLight struct {
	canvas.Lit
	word string
}

// lights are the lights of drawings now, as these have them, where they are few: what is all alike is
// just lit.
func (m Model) lights(drawn ...*canvas.Canvas) (out []namedLight) {
	if m.style.Depth == style.Letters || m.unlit() || m.onePixel() || !m.any {
		return nil
	}
	all := canvas.DrawnLights(mostLights, drawn...)
	for _, l := range all {
		out = append(out, namedLight{l, m.lightWord(l)})
	}
	if len(out) == 1 && out[0].word != newestWord {
		out[0].word = litWord
	}
	return out
}

// lightWord is the word of a light: its name, as the text has it, or what it is in a count.
func (m Model) lightWord(l canvas.Lit) string {
	switch {
	case !m.pattern().Counts:
		return strings.ReplaceAll(l.Name(m.style.Depth), " ", "\u00a0")
	case l.Full():
		return newestWord
	}
	return litWord
}

// mostLights are as many lights as a legend names.
const mostLights = 3

// lightNames are their names; where these have no room, their signs together with one word.
func (m caption) lightNames() []canvas.Name {
	var full []string
	for _, l := range m.lights {
		full = append(full, canvas.Swatch(l.Sign, l.word))
	}
	if len(full) == 0 {
		return nil
	}
	return []canvas.Name{{Full: strings.Join(full, "\u00a0\u00a0"), Brief: canvas.Swatch(signsOf(m.lights), litWord)}}
}

func signsOf(lights []namedLight) (out string) {
	for _, l := range lights {
		out += l.Sign
	}
	return out
}

// withLight is a line of a legend with the signs of light in their colours.
func (m caption) withLight(line string) string {
	quiet := m.style.OnPanel().Quiet.Render
	before, after, brief, level := line, "", false, 1.0
	if len(m.lights) > 0 {
		level = m.lights[0].Level
	}
	if len(m.lights) > 1 {
		before, after, brief = strings.Cut(line, canvas.Swatch(signsOf(m.lights), litWord))
	}
	out := canvas.InLegendAt(before, level, m.style.Depth, m.own, quiet)
	if !brief {
		return out
	}
	for _, l := range m.lights {
		out += canvas.Inked(l.Sign, l.Light, l.Level, m.style.Depth)
	}
	return out + quiet(canvas.Swatch("", litWord)) + canvas.InLegendAt(after, level, m.style.Depth, m.own, quiet)
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
	of := legendKey{m.prop, m.view(), each, height, m.sub != nil}
	return m.draw.legendRows.Get(of, func() int { return m.newLegendRows(each, height) })
}

// drawnRows are the rows of a drawing under a legend of so many rows, whatever is lit.
func (m Model) drawnRows(each, height, legend int) int {
	of := legendKey{m.prop, m.view(), each, height, m.sub != nil}
	return m.draw.drawnRows.Get(of, func() int {
		return canvas.AiryRows(height-legend, func(rows int) *canvas.Canvas { return m.laidOut(nil, each, rows) })
	})
}

func (m Model) newLegendRows(each, height int) int {
	switch {
	case m.onePixel() || height <= mostLegend:
		return 1
	case m.demo && m.compact():
		return 2 // the titles, and the signs of both
	}
	below := func(rows int) *canvas.Canvas {
		return m.laidOut(nil, each, height-rows)
	}
	return canvas.LegendRows(mostLegend, below, func(c *canvas.Canvas, rows int) (int, []canvas.Name) { return m.mostNamed(c, each, rows) })
}

// mostNamed is the width of a legend of so many rows and all that it may say.
func (m Model) mostNamed(c *canvas.Canvas, each, rows int) (int, []canvas.Name) {
	title, names := m.doesTitle().With(c.Scale()), append([]canvas.Name{markedName}, c.MostNames(m.sub != nil)...)
	names = append(names, c.MostShadeNames(false)...)
	if m.style.Depth != style.Letters {
		names = append(names, canvas.Named(canvas.Swatch(canvas.LitSign, litWord)))
	}
	if m.demo && rows > 1 && each <= m.size.Width/2 { // the signs of both drawings, side by side, below the titles
		title, each = c.Scale(), 2*each
	}
	if m.demo && rows == 1 {
		each -= besideLegend
	}
	return each, canvas.InShort(append([]canvas.Name{title}, names...))
}
