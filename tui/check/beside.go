package check

import (
	"path/filepath"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// titleLines are large words and an empty row below them: as large as a page of so many
// rows allows.
func titleLines(st style.Styles, width, height int, texts []string) []string {
	return append(letters(st.Strong, width, digits.HeadRows(height), texts), "")
}

// letters are the first of texts that fits in large letters, in at most so many rows.
func letters(look style.Text, width, rows int, texts []string) (lines []string) {
	for _, l := range digits.Large(width-2*edge, rows, texts...) {
		lines = append(lines, strings.Repeat(" ", edge)+look.Render(l))
	}
	return lines
}

// A textBesideDrawing is a page of large words over a text, with a drawing beside the
// text or, on a narrow page and with v, instead of it; the state of the record is at the
// foot.
type textBesideDrawing struct {
	large  []string // each text shorter than the one before
	wrong  bool     // they say that something is
	right  bool     // they say that all is well
	text   func(width int) *lineWriter
	scroll scroll
	title  canvas.Name   // of the drawing; none where the signs say it
	keys   []canvas.Name // of its signs
	sheet  *sheet
	draw   func(width, height int) []string // nil for no drawing
	below  func(width, height int) []string // fills the rows below a text without a drawing, from the page's first column; nil for nothing
}

func (p textBesideDrawing) lines(m Model, width, height int) []string {
	foot := recordFoot(m, width)
	page := titleLines(m.style.ForVerdict(p.wrong, p.right), width, height, p.large)
	height = max(0, height-len(foot)-len(page))
	side := 0
	if p.draw != nil && height >= leastRows {
		side = m.drawingBox().width
	}
	keep := 0 // rows of the page and of the drawing beside or below its text
	switch {
	case side > 0:
		text, drawn := p.beside(m, width, height, side)
		page, keep = append(page, text...), len(page)+drawn
	case p.draw != nil && m.turn%2 == 1 && height > 1:
		var note []string // the text, which has the note, is not shown
		for _, l := range style.Wrap(m.note, width-2*edge) {
			if m.note != "" {
				note = append(note, m.style.Strong.Render(l))
			}
		}
		page = append(page, style.Indent(p.drawing(m, width-2*edge, max(1, height-len(note))), edge-1)...)
		page = append(page, style.Indent(note, edge)...)
	default:
		text, drawn := p.alone(m, width, height)
		page, keep = append(page, text...), len(page)+drawn
	}
	page = append(page[:keep:keep], style.WithoutEnd(page[keep:])...) // rows that are left over stay empty at the foot of the page
	for i := range page {
		page[i] = style.Cell(page[i], width)
	}
	return append(page, foot...)
}

// beside is the text with the drawing at its right, both from the same row on and the drawing as large
// as on all pages, and the number of rows down to the foot of the drawing.
func (p textBesideDrawing) beside(m Model, width, height, side int) (lines []string, drawn int) {
	room, b := width-side-2*edge, m.drawingBox()
	text := p.text(room)
	lines = scrolled(m.style, text.lines, text.cuts, p.scroll, room, height)
	draw := p.drawing(m, side, min(b.height, height))
	for len(draw) > 0 && (draw[len(draw)-1] == "" || m.style.Depth == style.Letters && style.Blank(draw[len(draw)-1])) { // below its ground
		draw = draw[:len(draw)-1]
	}
	for i := range lines {
		line := ""
		if i < len(draw) {
			line = draw[i]
		}
		lines[i] = style.Cell(lines[i], room) + strings.Repeat(" ", edge-1) + line
	}
	return lines, min(len(lines), len(draw))
}

// alone is the text, with p.below in the rows after it, and the number of rows down to its foot.
func (p textBesideDrawing) alone(m Model, width, height int) (lines []string, drawn int) {
	text := p.text(width)
	lines = scrolled(m.style, text.lines, text.cuts, p.scroll, width, height)
	if said := len(text.lines) + 1; p.below != nil && said < height {
		below := p.below(width-2*edge, height-said)
		for len(below) > 0 && strings.TrimSpace(below[len(below)-1]) == "" { // below its ground
			below = below[:len(below)-1]
		}
		if len(below) > 0 {
			drawn = said + copy(lines[said:], below)
		}
	}
	return lines, drawn
}

// keyRows is how many rows the legend of a drawing beside a text has, the empty one below it
// counted: so many are free above the drawing on every page.
const keyRows = 2

// drawing is the drawing with its legend right above it, in as many more rows as the drawing
// leaves.
func (p textBesideDrawing) drawing(m Model, width, height int) []string {
	rows := min(keyRows, max(1, height-leastRows))
	lines := slices.Clone(p.draw(width, height-rows))
	if !p.sheet.lit(m.scene()) { // light has ground around it
		lines = withoutStart(style.WithoutEnd(lines))
	}
	l := legend{title: p.title, said: p.keys, sheet: p.sheet, drawn: lines}
	said, all := l.lines(m.scene(), width, max(1, height-len(lines)-1)) // in short forms rather than touching the drawing
	if !all {
		said, _ = l.lines(m.scene(), width, max(1, min(rows+2, height-len(lines))))
	}
	out := canvas.Under(said, lines, height)
	out, _ = canvas.Panel(m.style, out, width, min(1, height-len(out)))
	return append(out, make([]string, max(0, height-len(out)))...)
}

// withoutStart is lines without the empty ones at their start.
func withoutStart(lines []string) []string {
	for len(lines) > 0 && style.Blank(lines[0]) {
		lines = lines[1:]
	}
	return lines
}

// narrow is the width below which pages have no drawing beside their text.
const narrow = 70

// leastRows is the height from which on a page has a drawing beside its text.
const leastRows = 5

// A box is the place of the drawing beside a text, its legend counted. On a page of smaller large words it
// begins where the text does.
type box struct{ col, top, width, height int }

// drawingBox is that place on all pages of a window, below the largest title that there is and
// above a line on the record; of no width on a narrow page.
func (m Model) drawingBox() box {
	b := box{top: digits.HeadRows(m.size.Height) + 1}
	b.height = max(0, m.size.Height-b.top-1)
	if m.size.Width < narrow || b.height < leastRows {
		return b
	}
	b.width = min(m.size.Width*2/5, 2*b.height)
	if wide := m.size.Width * 11 / 20; m.of.sub != nil && m.long(wide, b.height-keyRows) {
		b.width = wide
	}
	b.col = m.size.Width - edge - b.width
	return b
}

// long is canvas.Long of what is checked, remembered: every frame asks for the place of drawings.
func (m Model) long(width, height int) bool {
	return m.draw.long.Get(plannedKey{m.of.sub, width, height}, func() bool {
		return canvas.Long(m.of.sub, width, height, m.style.Depth)
	})
}

// listBox is the place of a drawing beside a list, whose page has no large words above it: no higher
// than it is wide.
func (m Model) listBox() box {
	b := m.drawingBox()
	b.top, b.height = 0, max(0, min(m.size.Height-1, b.width/2+1))
	return b
}

// after is the box, or a narrower one where text of so many columns and a gap reach into it;
// false where that has no room for a drawing.
func (b box) after(text, gap, width int) (box, bool) {
	if b.width == 0 || text+gap <= b.col {
		return b, b.width > 0
	}
	b.col = text + edge
	b.width = width - edge - b.col
	return b, b.width >= leastSide
}

// besideText puts the prop beside a list, at the right of lines that are left cells wide at most;
// the lines alone where they leave it no room.
func (m Model) besideText(p *prop.Prop, lines []string, left int) []string {
	b, ok := m.listBox().after(left, portrait.Gap, m.size.Width)
	if p.Bulb() { // it is below the names of its slots
		b.height = max(0, m.size.Height-1)
	}
	drawn := m.draw.start.Lines(m.style, p, b.width, b.height)
	if drawn == nil || !ok {
		return lines
	}
	return style.Beside(lines, drawn, b.col)
}

// textRoom is the size of the text below large words, with or without a drawing.
func textRoom(m Model, drawn bool, large []string) (width, height int) {
	width = m.size.Width
	height = m.size.Height - len(recordFoot(m, width)) - len(titleLines(m.style, width, m.size.Height, large))
	if side := m.drawingBox().width; drawn && side > 0 && height >= leastRows {
		width -= side + 2*edge
	}
	return width, height
}

// recordFoot is the state of the record in lines, with an empty row before it. On a small page nothing is said
// while all goes well: its rows are for what to do.
func recordFoot(m Model, width int) []string {
	s := style.Clean(sayRecord(m))
	if s == "" || m.rec.held == "" && m.rec.why == "" && m.size.Width < narrow && m.size.Height < airyFrom {
		return nil
	}
	if m.rec.done != "" && ansi.StringWidth(s) > width-2*edge { // name the file without its folder
		s = strings.ReplaceAll(s, style.Clean(m.rec.done), style.Clean(filepath.Base(m.rec.done)))
	}
	out := []string{style.Cell("", width)}
	for _, l := range style.WrapKeys(s, width-2*edge, m.style.Strong, m.style.Accent) {
		out = append(out, style.Cell(strings.Repeat(" ", edge)+l, width))
	}
	return out
}
