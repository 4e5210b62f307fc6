package canvas

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// A Name is one text of a legend, in full and in its shortest form.
type Name struct{ Full, Brief string }

// Named is a Name without a shorter form.
func Named(text string) Name { return Name{text, text} }

// The titles of drawings of light in their one form: what the prop should show, and what the simulated one does.
var (
	ExpectedTitle  = Named("Expected")
	SimulatedTitle = Named("Simulated")
)

// Legend sets names in at most rows lines of width cells, two spaces apart, each about as long as the others. If
// they do not fit in full, the last ones take their short form; if that does not fit either, the last ones
// are left out and all is false.
func Legend(width, rows int, names ...Name) (lines []string, all bool) {
	texts, all := chosen(width, rows, names)
	return inLines(texts, width, linesOf(texts, width)), all
}

// LegendIn is Legend in exactly rows lines where there are as many names: below it a drawing keeps its place. A
// title stands alone in the first line, as in the legend beside it, where the others need no other form for it.
func LegendIn(width, rows int, title Name, names ...Name) (lines []string, all bool) {
	texts, all := chosen(width, rows, append([]Name{title}, names...))
	if title.Full != "" && len(texts) > rows && rows > 1 && linesOf(texts[1:], width) < rows {
		return append(texts[:1:1], inLines(texts[1:], width, rows-1)...), all
	}
	return inLines(texts, width, min(rows, len(texts))), all
}

// chosen are the texts of a legend of at most rows lines, and whether they are all of them.
func chosen(width, rows int, names []Name) (texts []string, all bool) {
	said := said(names)
	for _, all := range [][]Name{said, lettersTogether(said), lettersListed(said)} {
		for brief := range len(all) + 1 { // as few short forms as possible
			if texts := textsOf(all, brief); linesOf(texts, width) <= rows {
				return texts, true
			}
		}
	}
	for n := len(said) - 1; n > 0; n-- {
		if texts := textsOf(said[:n], n); linesOf(texts, width) <= rows {
			return texts, false
		}
	}
	if len(said) == 0 {
		return []string{""}, true
	}
	return []string{style.Cell(said[0].Brief, max(0, width))}, false
}

// OneForm are the names of two legends of so many lines and cells on one page: one that is in both, and in its
// short form in either, has that form in both.
func OneForm(width, rows int, a, b []Name) (x, y []Name) {
	inA, _ := chosen(width, rows, a)
	inB, _ := chosen(width, rows, b)
	brief := func(n Name) Name {
		if slices.Contains(a, n) && slices.Contains(b, n) && (slices.Contains(inA, n.Brief) || slices.Contains(inB, n.Brief)) {
			return Named(n.Brief)
		}
		return n
	}
	for _, n := range a {
		x = append(x, brief(n))
	}
	for _, n := range b {
		y = append(y, brief(n))
	}
	return x, y
}

// InShort are names in their short form alone: what is rarely all said needs no room for more.
func InShort(names []Name) (out []Name) {
	for _, n := range names {
		out = append(out, Named(n.Brief))
	}
	return out
}

// Union are the names of several drawings for one legend, each once.
func Union(lists ...[]Name) (out []Name) {
	for _, n := range slices.Concat(lists...) {
		if !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

// said are the names that say something.
func said(names []Name) (out []Name) {
	for _, n := range names {
		if n.Full != "" {
			out = append(out, n)
		}
	}
	return out
}

// textsOf are names, the last brief of them in short form.
func textsOf(names []Name, brief int) (out []string) {
	for i, n := range names {
		if i >= len(names)-brief {
			out = append(out, n.Brief)
		} else {
			out = append(out, n.Full)
		}
	}
	return out
}

// tooMany is more lines than any legend has.
const tooMany = 1 << 10

// linesOf is how many lines of width cells texts take; tooMany where one is longer.
func linesOf(texts []string, width int) int {
	lines, used := min(1, len(texts)), -len(between)
	for _, t := range texts {
		cells := style.Width(t)
		switch {
		case cells > width:
			return tooMany
		case used+len(between)+cells > width:
			lines, used = lines+1, cells
		default:
			used += len(between) + cells
		}
	}
	return lines
}

// between stands between two names of a legend.
const between = "  "

// inLines sets texts, which have room there, in so many lines of width cells, so that the longest is as short as
// it can be.
func inLines(texts []string, width, rows int) (lines []string) {
	longest := width
	for rows > 1 && longest > 0 && linesOf(texts, longest-1) <= rows {
		longest--
	}
	for i, t := range texts {
		last := len(lines) - 1
		apart := len(texts)-i == rows-len(lines) // each of the others has a line of its own
		if last < 0 || apart || style.Width(lines[last]+between+t) > longest {
			lines = append(lines, t)
			continue
		}
		lines[last] += between + t
	}
	return lines
}

// Way explains the data input sign and the arrowheads of this drawing; empty if it has
// neither.
func (c *Canvas) Way() Name {
	in, on := c.entrySign(), c.headSigns()
	switch {
	case in == "" && on == "":
		return Name{}
	case on == "":
		return Name{in + " data in", in + " in"}
	case in == "":
		return Named(on + " way of data")
	}
	return Name{in + " data in, " + on + " its way", in + " in, " + on + " on"}
}

// entrySign is the sign of where data enters; empty if it is not drawn.
func (c *Canvas) entrySign() string {
	for i := range c.rows {
		for _, m := range c.rows[i].marks {
			if m.head == entry {
				return m.text
			}
		}
	}
	return ""
}

// headSigns are the kinds of arrowheads of this drawing, along the data.
func (c *Canvas) headSigns() string {
	signs := make([]string, c.heads)
	for i := range c.rows {
		for _, m := range c.rows[i].marks {
			if m.head != entry {
				signs[m.head] = m.text
			}
		}
	}
	kinds := signs[:0]
	for _, s := range signs {
		if !slices.Contains(kinds, s) {
			kinds = append(kinds, s)
		}
	}
	return strings.Join(kinds, "")
}

// Scale says how many pixels a sign covers; empty for one.
func (c *Canvas) Scale() Name {
	if c.per == 1 {
		return Name{}
	}
	if c.per == 2 {
		return Name{"2 pixels a sign", "2 a sign"}
	}
	return Name{fmt.Sprintf("%d pixels a sign, lit if one is", c.per), fmt.Sprintf("%d a sign", c.per)}
}

// With appends another name after a comma; an empty one changes nothing.
func (n Name) With(other Name) Name {
	if other.Full == "" {
		return n
	}
	return Name{n.Full + ", " + other.Full, n.Brief + ", " + other.Brief}
}

// Shared says that several pixels share a sign in this drawing; empty if each has its own.
// light means colours, of which a cell holds two, one in each half; it holds only one letter.
func (c *Canvas) Shared(light bool) Name {
	most := 0
	for i := range c.rows {
		for _, s := range c.rows[i].spots {
			n := len(s.up) + len(s.low)
			if light {
				n = max(len(s.up), len(s.low))
			}
			most = max(most, n)
		}
	}
	switch {
	case c.view == Rows || len(c.flat) < 2 || most < 2:
		return Name{}
	case most == 2:
		return Name{"some signs 2 pixels", "some 2 pixels"}
	}
	return Name{fmt.Sprintf("signs up to %d pixels", most), fmt.Sprintf("up to %d pixels", most)}
}

// LightNames explain the signs of a drawing of light, the most needed first: data input and
// direction, holes, letters on a terminal without colours, shared signs.
func (c *Canvas) LightNames() []Name {
	return append(append(c.wayAndHoles(), c.letterNames()...), c.Shared(true))
}

// wayAndHoles explain data input and direction, and holes.
func (c *Canvas) wayAndHoles() []Name {
	if !c.HasHoles() {
		return []Name{c.Way()}
	}
	return []Name{c.Way(), {Hole + " left empty", Hole + " empty"}}
}

// MostNames are the most names that LightNames can return, whatever is lit; part adds the sign
// for pixels outside a part.
func (c *Canvas) MostNames(part bool) []Name {
	out := c.wayAndHoles()
	switch {
	case c.depth == style.Letters:
		out = append(out, initials, DarkName, smallDim)
	case c.dotted():
		out = append(out, DarkName)
	}
	if part && !c.fine {
		out = append(out, Named(OutsideSign+" outside"))
	}
	return append(out, c.Shared(true))
}

// LegendRows is the number of rows, up to most, for the legend above a drawing: as many as its
// names need in full, or else in short, but no more than leave the drawing as detailed as below
// one row. below lays the drawing out under that many rows, names are those that a legend of so
// many rows has to name and its width. A drawing coarser than mostPer may get coarser still.
func LegendRows(most int, below func(rows int) *Canvas, names func(c *Canvas, rows int) (int, []Name)) int {
	one, short := below(1), 0
	for rows := 1; rows <= most; rows++ {
		c := one
		if rows > 1 {
			c = below(rows)
		}
		crowded := !c.Rows() && c.Crowded() > max(crowd, one.Crowded())
		coarser := c.Per() != one.Per() && one.Per() <= mostPer
		if c.Rows() != one.Rows() || coarser || crowded || c.ShowsWay() != one.ShowsWay() || one.Clear() && !c.Clear() {
			most = rows - 1
			break
		}
		width, all := names(c, rows)
		if linesOf(textsOf(said(all), 0), width) <= rows {
			return rows
		}
		if _, fits := Legend(width, rows, all...); fits && short == 0 {
			short = rows
		}
	}
	if short > 0 {
		return short
	}
	return most
}

// AiryRows are the rows of a drawing below its legend: all of so many, or one less, for an empty one between the two,
// where that costs no mark and no shape. in lays the drawing out in some rows.
func AiryRows(rows int, in func(rows int) *Canvas) int {
	all := in(rows)
	if first, after := all.Used(); after-first < rows || rows < 2 || len(all.flat) == 1 { // a disc has ground around it
		return rows
	}
	less := in(rows - 1)
	if less.Rows() != all.Rows() || less.Per() != all.Per() || less.Crowded() > all.Crowded() || less.ShowsWay() != all.ShowsWay() || all.Clear() && !less.Clear() {
		return rows
	}
	return rows - 1
}

// Under is a drawing under its legend, with an empty row between where there is one to spare in
// so many rows.
func Under(legend, drawn []string, rows int) []string {
	out := slices.Clone(legend)
	if len(legend)+len(drawn) < rows && !(len(drawn) > 0 && style.Blank(drawn[0])) { // ground is gap enough
		out = append(out, "")
	}
	return append(out, drawn...)
}

// PlanName explains the sign of a pixel of the plan in a drawing of so many pixels.
func (c *Canvas) PlanName(pixels int) Name {
	if c.per == 1 {
		return Named(PlanSign + " " + words.Count(pixels, "pixel"))
	}
	few := fmt.Sprintf("%s %d", PlanSign, c.per)
	return Name{few + " of " + words.Count(pixels, "pixel"), few + " a sign"}
}

// SignNames explain a drawing of signs: data input and direction, and shared signs.
func (c *Canvas) SignNames() []Name { return []Name{c.Way(), c.Shared(false)} }

// dotted reports whether a dark pixel has a sign of its own in this drawing.
func (c *Canvas) dotted() bool { return c.depth == style.Letters || !c.fine || c.disc }

// DarkName explains that sign.
var DarkName = Named(DarkSign + " dark")
