package check

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/memo"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// drawings is a cache of the canvases between two calls of View.
type drawings struct {
	should, does, open, found, part sheet
	shown                           sheet // the light of a fault without a place
	shownOf                         memo.Last[faultKey, faultLight]
	planned                         memo.Last[plannedKey, []string]
	long                            memo.Last[plannedKey, bool]
	own                             memo.Last[plannedKey, bool]
	camera                          sheet // the plan beside a camera's picture
	start                           portrait.Portrait
	room                            memo.Last[legendRoom, legendPlace]
	tight                           memo.Last[tightKey, tightRoom]
	column                          columnRoom
	drafts                          canvas.Drafts
}

// A scene is the input of the drawings of a page.
type scene struct {
	style    style.Styles
	size     tea.WindowSizeMsg
	draw     *drawings
	sub      *prop.Prop
	demo     bool
	turn     int
	pictures pictures
	frame    patterns.Frame // what a sound prop shows, at full level
	light    strip.Light    // of the simulated prop; nil until it has arrived
	level    float64        // that both are drawn at, so that they can be compared
	st       state
	pulse    int // arrowhead that is lit; negative for none
	typing   bool
	shaped   bool // drawn as it lies, beside the answers
	air      int  // empty rows around it then
}

// pictures is what a page wants drawn besides the light.
type pictures struct {
	open     bool             // the places where a fault may still be
	marks    []show.Span      // pixels of the question
	expected []checkout.Paint // run by run, in place of what a sound prop shows; nil for that
}

// repainted is the light of expected, and the pixel counts of its runs, which may differ
// from the plan.
func (p pictures) repainted() (counts []int, frame patterns.Frame) {
	for _, run := range p.expected {
		n := 0
		for _, st := range run {
			frame = append(frame, slices.Repeat(patterns.Frame{st.Colour.Colour()}, st.Pixels)...)
			n += st.Pixels
		}
		counts = append(counts, n)
	}
	return counts, frame
}

// scene is the scene of the page shown.
func (m Model) scene() scene {
	s := scene{style: m.style.OnPanel(), size: m.size, draw: m.draw, sub: m.of.sub, demo: m.bench.demo, turn: m.turn, pictures: m.page.pictures(m), light: lit(m), level: 1, st: m.st, pulse: m.light.pulse, typing: m.Typing()}
	if m.bench.any && m.bench.snap.Level > 0 {
		s.level = m.bench.snap.Level
	}
	if w := m.want(); w.Frames != nil && m.of.sub != nil {
		f := w.Frames(nil, m.of.sub.Pixels(), 0)
		s.frame = f[min(m.of.first, len(f)):] // counted in the part
		if len(f) == m.of.sub.Pixels() {
			s.frame = f
		}
	}
	return s
}

// A sheet is one canvas and the input that it was laid out for.
type sheet struct {
	c             *canvas.Canvas
	width, height int
	sketch        bool     // dots are drawn instead: it would hide pixels, or does not show how they lie
	signs         []string // the lines of open or found
	used          []string // the signs of the ranks in them
	of            *checkout.Session
	rank          []uint8 // that the signs of found were drawn from
}

func (s *sheet) at(sc scene, counts []int, width, height int) *canvas.Canvas {
	if s.c == nil || s.width != width || s.height != height || counts != nil && !s.c.Fits(counts) {
		s.c = sc.laidOut(counts, width, height, s == &sc.draw.found || s == &sc.draw.part || s == &sc.draw.shown)
		s.width, s.height, s.signs = width, height, nil
	}
	return s.c
}

// laidOut is the canvas of the prop in its shape, or in rows where that shows more: on
// small pages of questions always, so that it does not change between questions, and
// where runs would touch. With marks, marked pixels are drawn on top of others.
func (m scene) laidOut(counts []int, width, height int, marks bool) *canvas.Canvas {
	if m.shaped {
		return m.draw.drafts.Shape(m.sub, counts, width, height, m.style.Depth)
	}
	draw, small := m.draw.drafts.Best, !hasRoom(m.size.Width, m.size.Height)
	if marks {
		draw, small = canvas.Placed, false
	}
	c := draw(m.sub, counts, width, height, m.style.Depth)
	if c.Rows() {
		return c
	}
	if rows := canvas.New(m.sub, counts, canvas.Rows, width, height, m.style.Depth); (small || c.Touching()) && rows.Per() <= mostPer {
		return rows
	}
	return c
}

// mostPer is the largest number of pixels to a sign of a row; with more the shape of the
// prop shows more.
const mostPer = 3

// A panel is one drawing with a caption.
type panel struct {
	title canvas.Name
	said  []canvas.Name
	sheet *sheet
	lines func(width, height int) []string
}

// panels are the drawings of the question page, the first one first.
func (m scene) panels() []panel {
	should := panel{canvas.ExpectedTitle, nil, &m.draw.should, m.should}
	if m.pictures.expected != nil {
		should.title = canvas.Named("With that fault")
	}
	if m.asks() {
		should.said = []canvas.Name{canvas.Named(canvas.Asked + " here")}
	}
	out := []panel{should}
	if m.demo {
		out = append(out, panel{canvas.SimulatedTitle, nil, &m.draw.does, m.does})
		// The place to measure is more important than the light, which comes first else.
		if m.abreast(m.size.Width-2*edge) == 1 && !m.asks() {
			slices.Reverse(out)
		}
	}
	if m.pictures.open && m.news() {
		out = append(out, panel{canvas.Name{}, openKey(m.ranks()), &m.draw.open, m.stillOpen})
	}
	return m.turned(out)
}

// asks reports whether the marked pixels are drawn as asked about. Those that are lit
// differently from most others are found by their colours, which the question names.
func (m scene) asks() bool {
	if len(m.pictures.marks) == 0 {
		return false
	}
	at := m.pictures.marks[0].First
	if at < 0 || at >= len(m.frame) {
		return true
	}
	alike := 0
	for _, c := range m.frame {
		if c == m.frame[at] {
			alike++
		}
	}
	return alike >= len(m.frame)/2
}

// turned rotates the drawings by the number of times v was pressed.
func (m scene) turned(all []panel) []panel {
	turn := m.turn % len(all)
	return append(all[turn:len(all):len(all)], all[:turn]...)
}

// news reports whether the drawing of open places shows more than that the fault may be
// anywhere.
func (m scene) news() bool {
	rank := m.ranks()
	return slices.Contains(rank, ruledOut) && (slices.Contains(rank, maybe) || slices.Contains(rank, likely))
}

// fewPixels is the number of pixels that can be told apart in half of a narrow page.
const fewPixels = 30

// drawn lays as many drawings side by side as there is room for.
func (m scene) drawn(width, height int) []string {
	if height < 4 || m.sub == nil {
		return style.FitLines("", width, max(0, height))
	}
	all := m.panels()
	if n := m.abreast(width); n > 1 {
		return m.beside(all[:n], (width-columnGap*(n-1))/n, width, height)
	}
	return stacked(m, all, width, height)
}

// turns reports whether v can show another drawing.
func (m Model) turns() bool { return m.of.sub != nil && len(m.scene().panels()) > 1 }

// abreast is the number of drawings side by side: the planned light, and that of a
// simulated prop. The third, of the open places, is shown with v, so that the others keep
// their size and place.
func (m scene) abreast(width int) int {
	if !m.demo || width < 70 && m.sub.Pixels() > fewPixels || width < 2*leastSide-2 {
		return 1
	}
	return 2
}

// beside lays drawings side by side, each so wide, each with its whole legend. Where these
// have no room the second names first what the other does not.
func (m scene) beside(all []panel, each, width, height int) []string {
	rows, gap := m.legendRows(each, each, height-m.air)
	var own []legend
	var drawings [][]string
	for _, p := range all {
		lines := p.lines(each, height-m.air-rows-gap)
		own = append(own, p.legend(lines))
		switch {
		case m.air > 0 && len(lines) > 0 && style.Blank(lines[0]): // a row free already
			lines = append(slices.Clone(lines), "")
		case m.air > 0:
			lines = append([]string{""}, lines...)
		}
		drawings = append(drawings, lines)
	}
	legends := m.legends(own, each, rows)
	out := make([]string, height)
	for i := range all {
		for k, line := range underLegend(legends[i], drawings[i], rows+gap, gap > 0 && !m.shaped) {
			if i > 0 {
				out[k] += strings.Repeat(" ", columnGap)
			}
			out[k] += style.Cell(line, each)
		}
	}
	for i := range out {
		out[i] = style.Cell(out[i], width)
	}
	return out
}

// underLegend is a drawing under its legend of so many rows. Where the legend leaves one, spare,
// the drawing needs no empty row of its own above it.
func underLegend(said, lines []string, rows int, spare bool) []string {
	for len(said) < rows {
		said = append(said, "")
	}
	if spare && len(lines) > 1 && style.Blank(lines[0]) {
		lines = append(slices.Clone(lines[1:]), lines[0])
	}
	return append(said, lines...)
}

// legend is that of a panel, over the lines of its drawing.
func (p panel) legend(lines []string) legend {
	return legend{title: p.title, said: p.said, sheet: p.sheet, drawn: lines}
}

// moreDrawings says that there are more drawings, beside the title of the first, where
// that has room.
const moreDrawings = " · v drawing"

// stacked lays drawings one below another, as many as need no more room than the
// first takes and leave a row free below.
func stacked(m scene, all []panel, width, height int) []string {
	var out []string
	rows, gap := 1, 0
	if height > 1 {
		rows, gap = m.legendRows(width, width, height)
	}
	need := 0
	for _, p := range all {
		room := height - len(out)
		if need > 0 {
			room-- // an empty line between
		}
		if room < 2 || need > 0 && room <= need {
			break
		}
		lines := style.WithoutEnd(slices.Clone(p.lines(width, room-rows-gap)))
		more := need == 0 && len(all) > 1 && !m.typing && room <= 2*(rows+gap+len(lines))+1
		if need > 0 {
			out = append(out, "")
		}
		said := p.stackedLegend(m, lines, width, rows, more)
		out = append(out, style.WithoutEnd(underLegend(said, lines, rows+gap, gap > 0 || said[rows-1] == ""))...)
		need = rows + gap + len(lines)
	}
	for len(out) < height {
		out = append(out, "")
	}
	for i := range out {
		out[i] = style.Cell(out[i], width)
	}
	return out[:height]
}

// stackedLegend is the legend of a panel in so many rows, with a word on further drawings.
func (p panel) stackedLegend(m scene, lines []string, width, rows int, more bool) []string {
	var said []string
	for _, also := range []string{moreDrawings, ""} {
		if !more {
			also = ""
		}
		var whole bool
		if said, whole = p.legend(lines).linesIn(m, width-ansi.StringWidth(also), rows); whole || also == "" {
			said[0] += m.style.Quiet.Render(also)
			break
		}
	}
	for len(said) < rows {
		said = append(said, "")
	}
	return said
}

// should draws the light of a sound prop, or the one to compare with.
func (m scene) should(width, height int) []string {
	counts, frame := m.pictures.repainted()
	if counts == nil {
		counts, frame = canvas.Planned(m.sub), m.frame
	}
	c := m.draw.should.at(m, counts, width, height)
	var asked []int32
	if m.asks() {
		for _, sp := range m.pictures.marks {
			for i := sp.First; i <= sp.Last; i++ {
				asked = append(asked, int32(i))
			}
		}
	}
	c.SetAsked(asked)
	c.SetWanted(m.driven(frame), m.level)
	c.SetPulse(m.pulse)
	return m.fromTop(c)
}

// fromTop are the lines of a drawing under its legend. On small pages rows of pixels come right
// below it, so that they have one place on all.
func (m scene) fromTop(c *canvas.Canvas) []string {
	if c.Rows() && !hasRoom(m.size.Width, m.size.Height) {
		return c.Lines()
	}
	return c.FromTop(c.Lines())
}

// driven is a frame without the colours that the prop's chips have no slot for: the white of
// a load test is sent to all that there are.
func (m scene) driven(f patterns.Frame) patterns.Frame {
	out, channels := make(patterns.Frame, len(f)), m.sub.Chip.Order.Channels()
	for i, c := range f {
		for _, ch := range channels {
			out[i] = out[i].With(ch, c.Get(ch))
		}
	}
	return out
}

// does draws the light of the simulated prop.
func (m scene) does(width, height int) []string {
	c := m.draw.does.at(m, m.counts(), width, height)
	c.SetLight(m.light, m.level)
	c.SetPulse(m.pulse)
	return m.fromTop(c)
}

// counts are the lengths of the simulated runs; the planned ones until light has arrived.
func (m scene) counts() []int {
	if m.light != nil {
		return canvas.Counts(m.light)
	}
	return nil
}
