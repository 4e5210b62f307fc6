package traffic

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// drawings keeps the two canvases between calls of View.
type drawings struct {
	shown, yours  *canvas.Canvas
	width, height int
}

// lightUp works out how the prop is lit.
func (m Model) lightUp() traffic.Light {
	if m.patch == nil {
		return traffic.Light{}
	}
	return traffic.LightOf(m.patch, m.prop.Chip.Order, m.news.Report, m.news.Ours, m.sent())
}

// sent is what we send; nil when we do not.
func (m Model) sent() patterns.Frame {
	if !m.any || len(m.snap.Sent) != m.patch.Pixels() {
		return nil
	}
	return m.snap.Sent
}

// roomy pages have room for drawings beside everything else.
const (
	roomyWidth, roomyHeight = 67, 20
	mostDrawn               = 20 // rows of a drawing
)

// propPage is about the prop: who lights it, what to do, how it is lit and how
// we light it, drawn and in rows.
func (m Model) propPage(width, height int) []string {
	lines := []string{" " + m.style.Strong.Render(m.headline(width-2))}
	if m.held {
		lines[0] = " " + m.style.Warn.Render("HELD: space goes on") + "  " + m.style.Strong.Render(m.headline(width-23))
	}
	said, room := m.wordLines(width), max(3, height/4)
	if len(said) > room {
		said = m.shortLines(width, room)
	}
	lines = append(lines, said...)
	head, rows := m.pixelRows(width)
	if free := height - len(lines); width >= roomyWidth && height >= roomyHeight {
		lines = append(lines, m.drawing(width, max(min(mostDrawn, free/2), free-roomFor(len(rows))))...)
	} else {
		lines = append(lines, "")
	}
	lines = append(lines, head)
	return append(lines, m.cut(rows, m.top, height-len(lines))...)
}

// roomFor is the room for so many rows below a drawing: with their head, and three lines
// around the drawing. It grows by steps, so that the drawing keeps its size while a light
// walks, which makes a row more or less.
func roomFor(rows int) int { return 4 + (rows+5)/6*6 }

// headline says who lights the prop, in words that fit.
func (m Model) headline(width int) string {
	var text string
	for _, name := range []func([]protocol.CID) string{m.sourceNames, m.sourceAddresses} {
		text = m.lightWords(name, false)
		if ansi.StringWidth(text) <= width {
			return text
		}
		if text = m.lightWords(name, true); ansi.StringWidth(text) <= width {
			return text
		}
	}
	return ansi.Truncate(text, width, "…")
}

// lightWords say who lights the prop; short leaves out our own part.
func (m Model) lightWords(name func([]protocol.CID) string, short bool) string {
	l := m.light
	n := len(l.Pixels)
	mine, none, merged := l.Count(traffic.You), l.Count(traffic.No), l.Count(traffic.Merged)
	theirs := n - mine - none - merged
	switch {
	case none == n:
		return "Nobody lights your prop."
	case mine == n && m.unreached():
		return "You send, but it does not reach your prop."
	case mine == n:
		return "You light your prop."
	case theirs == n && short:
		return fmt.Sprintf("Lit by %s, not by you.", name(l.Sources))
	case theirs == n:
		return fmt.Sprintf("Your prop is lit by %s, not by you.", name(l.Sources))
	case theirs > 0 && mine > 0 && !short:
		return fmt.Sprintf("%d of your %d pixels are lit by %s, %d by you.", theirs, n, name(l.Sources), mine)
	case theirs > 0:
		return fmt.Sprintf("%d of %d pixels lit by %s.", theirs, n, name(l.Sources))
	case merged > 0:
		return fmt.Sprintf("You and others send %d of your %d pixels at one priority.", merged, n)
	}
	return fmt.Sprintf("%d of your %d pixels are lit by nobody.", none, n)
}

// unreached reports whether no host takes what we send.
func (m Model) unreached() bool {
	hosts := traffic.Hosts(m.snap.Links)
	return len(hosts) > 0 && !slices.ContainsFunc(hosts, func(h traffic.Host) bool { return h.Worst.State.OK() })
}

// sourceNames are the sources that light something, by name and address.
func (m Model) sourceNames(list []protocol.CID) string {
	if len(list) != 1 {
		return fmt.Sprintf("%d others", len(list))
	}
	if s := m.news.Report.Source(list[0]); s != nil {
		return advice.Called(s)
	}
	return "another source"
}

// sourceAddresses are the same by address alone.
func (m Model) sourceAddresses(list []protocol.CID) string {
	if len(list) == 1 {
		if s := m.news.Report.Source(list[0]); s != nil {
			return traffic.Address(s)
		}
	}
	return m.sourceNames(list)
}

// drawing is the prop as it is lit beside the prop as we light it.
func (m Model) drawing(width, height int) []string {
	each := (width - 3) / 2
	d := m.draw
	if d.shown == nil || d.width != each || d.height != height {
		d.shown = canvas.Best(m.prop, nil, each, height, m.style.Depth)
		d.yours = canvas.Best(m.prop, nil, each, height, m.style.Depth)
		d.width, d.height = each, height
	}
	shown, yours := make(patterns.Frame, len(m.light.Pixels)), make(patterns.Frame, len(m.light.Pixels))
	for i, p := range m.light.Pixels {
		shown[i], yours[i] = p.Shown, p.Yours
	}
	level := max(brightest(shown), brightest(yours)) // one measure, so that the two compare
	d.shown.SetFrame(shown, level)
	d.yours.SetFrame(yours, level)
	lines := []string{"", " " + style.Cell(m.style.Quiet.Render("What receivers follow"), each) + " " + m.style.Quiet.Render("What you send")}
	left, right := d.shown.Lines(), d.yours.Lines()
	for i := range left {
		lines = append(lines, " "+left[i]+" "+right[i])
	}
	return append(lines, "")
}

// brightest is the highest channel value as a level.
func brightest(f patterns.Frame) float64 {
	top := uint8(1)
	for _, c := range f {
		top = max(top, c.R, c.G, c.B, c.W, c.C)
	}
	return float64(top) / 255
}

// pixelRows are a head and a row for each stretch of pixels lit alike: which
// pixels, on which run, their colour and values, who lights them, and what we
// send.
func (m Model) pixelRows(width int) (head string, rows []string) {
	cols := m.pixelColumns(width)
	cells := func(text func(pixelColumn) string) string {
		var b strings.Builder
		for _, c := range cols {
			b.WriteString(" " + style.Cell(text(c), c.width))
		}
		return strings.TrimRight(b.String(), " ")
	}
	head = m.style.Quiet.Render(cells(func(c pixelColumn) string { return c.head }))
	for _, s := range m.light.Stretches(m.prop.Runs) {
		rows = append(rows, cells(func(c pixelColumn) string { return c.text(&s) }))
	}
	return head, rows
}

type pixelColumn struct {
	head  string
	width int
	text  func(*traffic.Stretch) string
}

// pixelColumns are as wide as the page allows: narrow ones leave out the names
// of colours, then the run, the marks, and who lights a pixel.
func (m Model) pixelColumns(width int) []pixelColumn {
	p := paint{named: width >= 76, marked: true}
	rest := func() int { return width - 9 - 2*(p.width(m)+1) } // for the run and for who lights it
	p.marked = rest() >= 0
	run := min(21, max(rest()*45/100, min(m.longestRun()+2, rest()-9)))
	if run < 6 {
		run = 0
	}
	by := min(25, rest()-run)
	cols := []pixelColumn{
		{"pixel", 8, pixels},
		{"run", run - 1, func(s *traffic.Stretch) string { return style.Clean(m.prop.Runs[s.Run].Name) }},
		{"lit", p.width(m), func(s *traffic.Stretch) string { return m.colour(s.Shown, p) }},
		{"by", by - 1, m.litBy},
		{"you send", p.width(m), func(s *traffic.Stretch) string { return m.yours(s, p) }},
	}
	return slices.DeleteFunc(cols, func(c pixelColumn) bool { return c.width < 3 })
}

// longestRun is the width of the longest name of a run.
func (m Model) longestRun() (widest int) {
	for _, r := range m.prop.Runs {
		widest = max(widest, ansi.StringWidth(style.Clean(r.Name)))
	}
	return widest
}

// A paint is how much is said of a colour beside its values.
type paint struct{ named, marked bool }

// width is what a colour takes, in cells.
func (p paint) width(m Model) int {
	w := 4*m.prop.Chip.Order.Slots() - 1
	if p.marked {
		w += 2
	}
	if p.named {
		w += 8
	}
	return w
}

// pixels are the numbers of a stretch, counted from 1.
func pixels(s *traffic.Stretch) string {
	if s.First == s.Last {
		return fmt.Sprint(s.First + 1)
	}
	return fmt.Sprintf("%d-%d", s.First+1, s.Last+1)
}

// yours is what we send, or that it is the same.
func (m Model) yours(s *traffic.Stretch, p paint) string {
	switch {
	case m.sent() == nil:
		return "nothing"
	case s.Shown == s.Yours:
		return m.style.Quiet.Render("the same")
	}
	return m.colour(s.Yours, p)
}

// litBy is who lights a stretch.
func (m Model) litBy(s *traffic.Stretch) string {
	switch s.From {
	case traffic.You:
		return "you"
	case traffic.No:
		return "nobody"
	case traffic.Merged:
		return m.style.Warn.Render("both")
	}
	name := "another"
	if src := m.news.Report.Source(m.light.Sources[s.From]); src != nil && src.Name != "" {
		name = advice.Quoted(src.Name)
	}
	return m.style.Warn.Render(name)
}

// colour is a mark in the colour, its name where there is room, and the values
// of its channels, 0 to 255, in the order red, green, blue, white, cool white.
func (m Model) colour(c patterns.Colour, p paint) string {
	var b strings.Builder
	switch {
	case !p.marked:
	case c.Dark(), checkout.NameOf(c) == checkout.Dark: // too little to be seen as a colour
		b.WriteString(m.style.Quiet.Render(canvas.Hole) + " ")
	default:
		b.WriteString(canvas.Inked("●", c, brightest(patterns.Frame{c}), m.style.Depth) + " ")
	}
	if p.named {
		b.WriteString(style.Cell(checkout.NameOf(c).String(), 8))
	}
	values := make([]string, 0, patterns.NumChannels)
	for ch := range patterns.Channel(patterns.NumChannels) {
		if m.has[ch] {
			values = append(values, fmt.Sprintf("%3d", c.Get(ch)))
		}
	}
	return b.String() + strings.Join(values, " ")
}
