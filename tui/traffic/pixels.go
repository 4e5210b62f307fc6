package traffic

import (
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// lightUp is the light of the prop, with its sources.
func (m Model) lightUp() traffic.Light {
	if m.patch == nil {
		return traffic.Light{}
	}
	return traffic.LightOf(m.patch, m.prop.Chip.Order, m.news.Report, m.news.Ours, m.sent())
}

// sent is the frame that we send; nil when we do not send.
func (m Model) sent() patterns.Frame {
	if !m.any || len(m.snap.Sent) != m.patch.Pixels() {
		return nil
	}
	return m.snap.Sent
}

// propPage is about the prop in the rows below its head: what to do, how it is lit and how
// we light it, drawn and in rows. height is that of the page.
func (m Model) propPage(width, height, left int) []string {
	share := 3
	if height < roomyRows {
		share = 5 // the drawing needs the room
	}
	lines := m.said(width, max(3, left/share))
	if m.prop.Bulb() {
		return m.bulbPage(lines, width, left)
	}
	if width >= besideWidth && (m.together() || m.pairLies(width, left) || m.liesBeside(width, left)) {
		return m.besideDrawing(width, left)
	}
	head, rows, cells := m.pixelRows(width)
	free := left - len(lines)
	high := m.drawingRows(width-1, free, len(rows)*(cells+gapCells)/max(1, width)+1)
	if !m.together() {
		high++ // the signs of both drawings
	}
	if listed := free - high - 2; listed < leastTable && listed < len(rows) { // a table of few of many lights says nothing
		if lines := m.withoutTable(width, free, left); lines != nil {
			return lines
		}
	}
	if d := m.drawing(width-1, high); d != nil {
		lines = append(append(lines, gapAfter(lines)...), m.panel(d, width-1, 0)...)
	}
	lines = append(lines, gapAfter(lines)...)
	rows = m.seenFirst(rows, cells, width, left-len(lines))
	return append(lines, m.columns(head, rows, cells, width, left-len(lines))...)
}

// withoutTable is what to do, the few odd lights in words where these have room, and the drawing, each with an empty
// row above; nil where the drawing has no room. free are the rows that what to do leaves at least, left all of them.
func (m Model) withoutTable(width, free, left int) []string {
	for _, odd := range [][]string{m.oddWords(width), nil} {
		if len(odd) > 0 {
			odd = append([]string{""}, odd...)
		}
		d := m.drawing(width-1, free-1-len(odd))
		if d == nil || len(odd) > 0 && !slices.ContainsFunc(d, style.Blank) {
			continue
		}
		m.page.more = 0
		lines := append(m.said(width, left-len(d)-1-len(odd)), odd...)
		return append(append(lines, gapAfter(lines)...), m.panel(d, width-1, 0)...)
	}
	return nil
}

// mostOdd is how many stretches of coloured light a sentence names.
const mostOdd = 4

// mostlyDark reports whether most pixels of the prop are dark.
func (m Model) mostlyDark() bool {
	dark := 0
	for _, p := range m.light.Pixels {
		if p.Shown.Dark() {
			dark++
		}
	}
	return 2*dark > len(m.light.Pixels)
}

// oddWords name the few coloured lights of a prop, or the few lights among dark pixels, for a page without a table;
// nil where there are none, or many.
func (m Model) oddWords(width int) []string {
	var odd []string
	verb, lit := "", m.mostlyDark()
	for _, s := range m.stretches() {
		_, name := m.seen(s.Shown)
		if white := name == "faint" || strings.HasSuffix(name, "white"); name == "dark" || white && !lit {
			continue
		}
		n := s.Last - s.First + 1
		text := words.Plural(n, "pixel ", "pixels ") + strings.Replace(pixels(&s.Stretch), "-", " to ", 1) + " "
		if is := words.Plural(n, "is ", "are "); is != verb {
			text, verb = text+is, is
		}
		odd = append(odd, text+name)
	}
	if len(odd) == 0 || len(odd) > mostOdd {
		return nil
	}
	return indented(words.Capital(strings.Join(odd, ", "))+".", width)
}

// liesBeside reports whether one drawing beside the list shows more than two above it: the prop as it
// lies where these have rows of pixels, or a higher one. What we send is then in the list alone, unless
// both lie there.
func (m Model) liesBeside(width, height int) bool {
	const legend, share = 3, 0.5
	pair := m.laidOut((width-1-ringsCells)/2, int(share*float64(height)))
	alone := m.laidOut(drawnCells(width), height-legend)
	return !alone.Rows() && (pair.Rows() || len(used(alone)) > len(used(pair)))
}

// pairLies reports whether both drawings have room beside the list as the prop lies, with each pixel apart.
func (m Model) pairLies(width, height int) bool {
	const legend = 3
	if m.sent() == nil {
		return false
	}
	c := m.laidOut((drawnCells(width)-ringsCells)/2, height-legend)
	return !c.Rows() && c.Clear()
}

// gapAfter is an empty row below lines, if there are any.
func gapAfter(lines []string) []string {
	if len(lines) == 0 {
		return nil
	}
	return []string{""}
}

// seenFirst puts the rows of coloured light first where not all have room, then those of white, which
// are most of a prop, since what is dark is not what one looks for; the line of those below says so.
func (m Model) seenFirst(rows []string, cells, width, height int) []string {
	if len(rows) <= perLine(cells, width)*(height-1) {
		return rows
	}
	var sorted [3][]string
	for i, s := range m.stretches() {
		at := 0
		_, name := m.seen(s.Shown)
		switch {
		case s.Shown.Dark() && s.Yours.Dark():
			at = 2
		case s.Shown.Dark() || name == "faint" || strings.HasSuffix(name, "white"):
			at = 1
		}
		sorted[at] = append(sorted[at], rows[i])
	}
	out := slices.Concat(sorted[:]...)
	switch {
	case slices.Equal(out, rows):
	case len(sorted[0]) > 0:
		m.page.order = ", colours first"
	default:
		m.page.order = ", lit ones first"
	}
	return out
}

// Widths of a page that has its drawing at the right, where it is higher than below the
// list, and of the list there: as narrow as its values allow.
const (
	besideWidth = 110
	asideCells  = 3 // between the list and the drawing, one of them its ground
	leastListed = valueWidth + 1
)

// listedCells is the width of the list in a page so wide: the drawing, which is as high as the page,
// cannot use more than the rest.
func listedCells(width int) int {
	const share = 0.43
	return max(leastListed, int(share*float64(width)))
}

// drawnCells is the room beside such a list.
func drawnCells(width int) int { return width - listedCells(width) - asideCells }

// besideDrawing is the page below its headline with what is to be said and the list, and at their right
// the drawings of what the prop shows and of what we send: as it lies, or in rows where two such have no room.
func (m Model) besideDrawing(width, height int) []string {
	listed := listedCells(width)
	lines := m.said(listed, max(3, height*2/5))
	if len(lines) > 0 {
		lines = append(lines, "")
	}
	head, rows, cells := m.pixelRows(listed)
	rows = m.seenFirst(rows, cells, listed, height-len(lines))
	lines = append(lines, m.columns(head, rows, cells, listed, height-len(lines))...)
	drawn := m.shownDrawing
	if m.together() || m.pairLies(width, height) {
		drawn = m.drawing
	} else if m.fitInRows(drawnCells(width), height) {
		drawn = m.bothInRows
	}
	return m.besidePanel(lines, drawn, width, height)
}

// besidePanel is lines with a drawing at their right.
func (m Model) besidePanel(lines []string, drawing func(width, height int) []string, width, height int) []string {
	return m.besideAt(0, lines, drawing, width, height)
}

// besideAt is besidePanel for lines that begin so many cells before the page.
func (m Model) besideAt(before int, lines []string, drawing func(width, height int) []string, width, height int) []string {
	wide := drawnCells(width)
	d := drawing(wide, height)
	return style.Beside(lines, m.panel(d, wide, height-len(d)), before+listedCells(width)+asideCells-1)
}

// panel is a drawing with its legend on its ground. The legend is level with the first line of a text beside it.
func (m Model) panel(drawn []string, width, spare int) []string {
	out, _ := canvas.Panel(m.style, drawn, width, min(1, spare))
	return out
}

// indent puts lines at the left edge that text has.
func indent(lines []string) []string {
	out := make([]string, len(lines))
	for i, l := range lines {
		out[i] = " " + l
	}
	return out
}

// drawingRows is how high a drawing is where so many rows are free and the list below it
// has so many lines: most of them, and more where the list is short. It grows by steps, so
// that the drawing keeps its size while a light walks, which makes a line more or less.
func (m Model) drawingRows(width, free, list int) int {
	const around = 3 // an empty row before it and after, and the head of the list
	free -= around
	const short = 6 // lines of a list of which all is seen
	if list <= short && (free-short >= leastRows || m.together() && m.hasRoom(width, free-short)) {
		return free - short
	}
	return max(free-(list+5)/6*6, free*2/3, min(leastRows+1, free-leastList))
}

const (
	roomyRows  = 24 // pages of fewer have to choose
	leastTable = 4  // rows of the list, its head among them, or there is none beside a drawing
	leastList  = 2  // rows of the list that a drawing leaves
)

// headline names the sources that light the prop: in large letters if they leave room for
// the rest, else in one line.
func (m Model) headline(width, height int) []string {
	for _, texts := range [][]string{m.FarView().Texts, m.sourcesText()} {
		if large := m.largely(width, 1+digits.HeadRows(height), texts...); len(large) > 0 {
			return large[1:] // no row is free above
		}
	}
	return []string{" " + m.style.Strong.Render(m.oneLine(width-2))}
}

// oneLine is the headline as one line, in the longest form that fits.
func (m Model) oneLine(width int) string {
	var text string
	for _, name := range []naming{m.sourceNames, m.sourceAddresses} {
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
