// Package portrait fills the free room of a page for reading from two metres: a few large
// words, and the prop with the direction of data and the start of each run. It uses the
// terminal's own colours, since it shows no light.
//
// Sizes are terminal cells.
package portrait

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// A drawing of fewer cells shows no shape.
const (
	leastWidth  = 24
	leastHeight = 9
	airyHeight  = 14 // from which on an empty row is below the caption
	mostCaption = 2  // rows of it
)

// Gap is the space between a text and the drawing at its right.
const Gap = 2

// A Portrait is one prop drawn to one size. It is a cache of one screen, not for use by
// two goroutines.
type Portrait struct {
	of            *prop.Prop
	width, height int
	lines         []string
}

// Lines are a caption and the drawing below it, at most height rows; nil when the shape
// does not fit or there is no prop. For a bulb they name its slots.
func (d *Portrait) Lines(st style.Styles, p *prop.Prop, width, height int) []string {
	if p == nil || width < leastWidth || height < leastHeight {
		return nil
	}
	if d.of != p || d.width != width || d.height != height {
		*d = Portrait{p, width, height, drawn(st, p, width, height)}
	}
	return d.lines
}

func drawn(st style.Styles, p *prop.Prop, width, height int) []string {
	switch {
	case p.Bulb():
		return slots(st, p, width, height)
	case canvas.Straight(p):
		return strip(st, p, width, height)
	}
	room := height - 1
	if height >= airyHeight {
		room-- // an empty row below the caption
	}
	c := canvas.Best(p, nil, width, room, st.Depth).Apart(p, width, room)
	first, after := c.Used()
	rows := max(1, min(mostCaption, height-1-(after-first))) // of the caption: as many as cost neither the drawing nor the empty row
	rank, signs := Beginnings(st, p)
	lines := c.SignRows(rank, signs)
	said, all := caption(p, Numbers(c, lines, signs), c, width, rows)
	if !all || !Numbers(c, lines, signs) { // a number may be hidden by another run, or have no room in the caption
		said, _ = caption(p, false, c, width, rows)
		lines = c.SignRows(make([]uint8, p.Pixels()), signs[:1])
	}
	for i := range said {
		said[i] = st.Quiet.Render(said[i])
	}
	return canvas.Under(said, lines, height)
}

// Numbers reports whether all numbers of runs are to be seen in a drawing.
func Numbers(c *canvas.Canvas, lines, signs []string) bool {
	if len(signs) < 2 || c.Rows() { // rows have the numbers of their pixels
		return false
	}
	drawn := strings.Join(lines, "")
	return !slices.ContainsFunc(signs[1:], func(sign string) bool { return !strings.Contains(drawn, sign) })
}

// strip is a straight strip in rows, with the number of pixels and the address of the first
// one in large letters below.
func strip(st style.Styles, p *prop.Prop, width, height int) []string {
	c := canvas.New(p, nil, canvas.Rows, width, height-1, st.Depth)
	said, _ := caption(p, false, c, width, 1)
	out := append([]string{st.Quiet.Render(said[0])}, StripRows(c, p)...)
	from := p.Address
	for _, text := range []string{
		words.Count(p.Pixels(), "pixel"),
		fmt.Sprintf("from universe %d slot %d", from.Universe, from.Slot+1),
	} {
		out = append(out, Words(st, width, height-len(out), text)...)
	}
	return out
}

// StripRows are the rows of a straight strip as planned, without those for bars of light, each below the
// number of its first pixel. A single one has no number: it would read as a sign.
func StripRows(c *canvas.Canvas, p *prop.Prop) []string {
	out := slices.DeleteFunc(c.Signs(make([]uint8, p.Pixels()), []string{canvas.PlanSign}), style.Blank)
	if len(out) == 1 {
		out[0] = strings.TrimPrefix(strings.TrimLeft(out[0], " "), "1")
	}
	return out
}

// Numbered reports whether the runs of a prop have numbers in its drawing: several do, up to nine,
// since two digits do not fit a cell.
func Numbered(p *prop.Prop) bool { return len(p.Runs) > 1 && len(p.Runs) <= 9 }

// Beginnings are the ranks of pixels, 0 except for the first of each run, and the sign of
// each rank: the number of the run. Where runs have none all ranks are 0.
func Beginnings(st style.Styles, p *prop.Prop) (rank []uint8, signs []string) {
	rank, signs = make([]uint8, p.Pixels()), []string{canvas.PlanSign}
	if !Numbered(p) {
		return rank, signs
	}
	for r := range p.Runs {
		if first := p.FirstPixel(r); first < len(rank) {
			rank[first] = uint8(r + 1)
		}
		signs = append(signs, st.Strong.Render(fmt.Sprint(r+1)))
	}
	return rank, signs
}

// caption names the signs of a drawing in at most rows lines; all is false if one has no room.
func caption(p *prop.Prop, numbered bool, c *canvas.Canvas, width, rows int) (lines []string, all bool) {
	names := append([]canvas.Name{c.PlanName(p.Pixels())}, c.SignNames()...)
	if numbered {
		names = append(names, Begins(p))
	}
	return canvas.Legend(width, rows, names...)
}

// Begins names the numbers of runs.
func Begins(p *prop.Prop) canvas.Name {
	return canvas.Named(fmt.Sprintf("1 to %d where runs begin", len(p.Runs)))
}

// slots are the colours that the slots of a bulb should light, as large as fits. They have
// no numbers, which would look like answers.
func slots(st style.Styles, p *prop.Prop, width, height int) []string {
	chs := p.Chip.Order.Channels()
	names := make([]string, len(chs))
	for i, ch := range chs {
		names[i] = strings.ToUpper(ch.String())
	}
	title := fmt.Sprintf("Slots %d to %d in order, as planned", p.Address.Slot+1, p.Address.Slot+len(names))
	if style.Width(title) > width {
		title = strings.TrimSuffix(title, ", as planned")
	}
	out := []string{st.Quiet.Render(style.Cell(title, width))}
	rows := (height-1)/len(names) - 1
	below := func(size int) int { return height - 1 - len(names)*(size+1) }
	for size := min(rows, MostHigh) / digits.Rows * digits.Rows; size >= digits.Rows; size -= digits.Rows {
		all := digits.Alike(width, size, names...)
		if all == nil || size > digits.Rows && below(size) < bulbRows && below(digits.Rows) >= bulbRows {
			continue // a smaller face leaves the bulb room
		}
		for _, lines := range all {
			out = append(append(out, ""), lines...)
		}
		return append(out, bulb(st, p, width, height-len(out))...)
	}
	for _, n := range names {
		out = append(out, "", n)
	}
	return append(out, bulb(st, p, width, height-len(out))...)
}

// bulbRows is the least number of rows of a bulb with the empty one above it: with fewer it is a dot.
const bulbRows = 8

// mostBulb is the largest: names of the next size leave it so many in the largest window.
const mostBulb = 13

// bulb is the outline of a bulb with its name, below an empty row, as large as so many rows allow; nil
// where it has no room.
func bulb(st style.Styles, p *prop.Prop, width, rows int) []string {
	disc := "█"
	if st.Depth == style.Letters {
		disc = "·"
	}
	rows = min(rows, 5*width/16, mostBulb) // the names go before it, and grow with the window
	if rows < bulbRows {
		return nil
	}
	width = min(width, 2*rows+2)
	lines := canvas.New(p, nil, canvas.Shape, width, rows+1, st.Depth).SignRows([]uint8{0}, []string{disc})
	lines = slices.DeleteFunc(lines, style.Blank)
	first := width
	for _, l := range lines {
		first = min(first, strings.Index(l, disc))
	}
	out := []string{""}
	for i, l := range canvas.Outline(lines, disc) {
		if l = strings.TrimRight(l[first:], " "); i == len(lines)/2 {
			l = named(l, disc)
		}
		out = append(out, st.Quiet.Render(l))
	}
	return out
}

// bulbName is what a bulb is called, as on the page of its power.
const bulbName = "the bulb"

// named is a row of an outline with its name in the middle of the free cells, if they hold it.
func named(row, disc string) string {
	inside := strings.Trim(row, disc)
	if free := style.Width(inside) - style.Width(bulbName); free >= 2 {
		return strings.Replace(row, inside, strings.Repeat(" ", free/2)+bulbName+strings.Repeat(" ", free-free/2), 1)
	}
	return row
}

// Words are the first of texts that fits in large letters, with an empty row before them;
// nil when none does. They take at most half of rows if that is enough.
func Words(st style.Styles, width, rows int, texts ...string) []string {
	return Block(st, width, min(rows, max(3*digits.Rows, (rows-1)/2)+1), texts...)
}

// Head are large words at the head of a page: one line of one of texts, the highest in so many rows, or
// else several, with an empty row before them; nil where none is large.
func Head(st style.Styles, width, rows int, texts ...string) []string {
	if one := digits.Line(width, rows-1, texts...); one != nil {
		return belowRow(st, one)
	}
	return Block(st, width, rows, texts...)
}

// Beside puts the prop at the right of a page whose lines are left cells wide, from the
// top on; the lines alone where the room at their right is too small.
func (d *Portrait) Beside(st style.Styles, p *prop.Prop, lines []string, left, width, height int) []string {
	right := d.Lines(st, p, width-left-Gap, height)
	if right == nil {
		return lines
	}
	return style.Beside(lines, right, left+Gap)
}

// NoProp says what a page does once there is a prop, and in large letters that there is none
// and what to do.
func NoProp(st style.Styles, width, height int, does string) []string {
	out := append(style.Wrap(does, width), HowToStart(st, width)...)
	return append(out, NoPropWords(st, width, height-len(out))...)
}

// HowToStart says how the program starts with a prop, as a line of its own.
func HowToStart(st style.Styles, width int) []string {
	return style.WrapKeys("In a terminal, `ringout\u00a0FILE` opens a prop.", width, style.Text{}, st.Strong)
}

// NoPropWords are the large words of NoProp in one face, in the lines that make them largest; nil
// when they do not fit.
func NoPropWords(st style.Styles, width, height int) []string {
	return Stack(st, width, height, height, []string{"No prop yet", "S: Set-up"})
}

// NoPropPage is NoProp as a whole page, with the left edge of all pages.
func NoPropPage(st style.Styles, width, height int, does string) []string {
	const edge = 2
	return style.Indent(NoProp(st, width-2*edge, height, does), edge)
}
