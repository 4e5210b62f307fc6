package canvas

import (
	"fmt"
	"slices"

	"example.org/ringout/tui/style"
)

// A Name is one text of a legend, in full and in its shortest form.
type Name struct{ Full, Brief string }

// Named is a Name without a shorter form.
func Named(text string) Name { return Name{text, text} }

// Legend sets names in at most rows lines of width cells, two spaces apart. If they do not
// fit in full, the last ones take their short form; if that does not fit either, the last ones
// are left out and all is false.
func Legend(width, rows int, names ...Name) (lines []string, all bool) {
	var said []Name
	for _, n := range names {
		if n.Full != "" {
			said = append(said, n)
		}
	}
	for brief := 0; brief <= len(said); brief++ {
		for r := 1; r <= rows; r++ {
			if lines, ok := filled(width, r, said, brief); ok {
				return lines, true
			}
		}
	}
	for n := len(said) - 1; n > 0; n-- {
		if lines, ok := filled(width, rows, said[:n], n); ok {
			return lines, false
		}
	}
	if len(said) == 0 {
		return []string{""}, true
	}
	return []string{style.Cell(said[0].Brief, max(0, width))}, false
}

// filled sets names in at most rows lines, the last brief of them in short form; ok is false
// if they do not fit.
func filled(width, rows int, names []Name, brief int) (lines []string, ok bool) {
	for i, n := range names {
		text := n.Full
		if i >= len(names)-brief {
			text = n.Brief
		}
		last := len(lines) - 1
		switch {
		case style.Width(text) > width:
			return nil, false
		case last >= 0 && style.Width(lines[last]+"  "+text) <= width:
			lines[last] += "  " + text
		case len(lines) == rows:
			return nil, false
		default:
			lines = append(lines, text)
		}
	}
	return lines, true
}

// Way explains the data input sign and the first arrowhead of this drawing; empty if it has
// neither.
func (c *Canvas) Way() Name {
	in, on := c.signOf(entry), c.signOf(0)
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

// signOf is the text of a mark, an arrowhead or the data input; empty if it is not drawn.
func (c *Canvas) signOf(head int) string {
	for i := range c.rows {
		for _, m := range c.rows[i].marks {
			if m.head == head {
				return m.text
			}
		}
	}
	return ""
}

// Scale says how many pixels a mark covers; empty for one.
func (c *Canvas) Scale() Name {
	if c.per == 1 {
		return Name{}
	}
	return Name{fmt.Sprintf("%d pixels a mark", c.per), fmt.Sprintf("%d a mark", c.per)}
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
	if c.depth == style.Letters {
		out = append(out, initials, Named(DarkSign+" dark"), smallDim)
		if part {
			out = append(out, Named(OutsideSign+" outside"))
		}
	}
	return append(out, c.Shared(true))
}

// LegendRows is the number of rows, up to most, for the legend above a drawing: as many as
// fits needs, but no more than leave the drawing as detailed as below one row. below lays the
// drawing out under that many rows. A drawing coarser than mostPer may get coarser still.
func LegendRows(most int, below func(rows int) *Canvas, fits func(c *Canvas, rows int) bool) int {
	one := below(1)
	for rows := 1; rows <= most; rows++ {
		c := one
		if rows > 1 {
			c = below(rows)
		}
		crowded := !c.Rows() && c.Crowded() > max(crowd, one.Crowded())
		coarser := c.Per() != one.Per() && one.Per() <= mostPer
		if c.Rows() != one.Rows() || coarser || crowded || c.ShowsWay() != one.ShowsWay() {
			return rows - 1
		}
		if fits(c, rows) {
			return rows
		}
	}
	return most
}

// SignNames explain a drawing of signs: data input and direction, and shared signs.
func (c *Canvas) SignNames() []Name { return []Name{c.Way(), c.Shared(false)} }

// letterNames explain the letters and signs now drawn on a terminal without colours.
func (c *Canvas) letterNames() (out []Name) {
	if c.depth != style.Letters {
		return nil
	}
	var seen lightSigns
	for i := range c.rows {
		for j := range c.rows[i].spots {
			seen.add(c, &c.rows[i].spots[j])
		}
	}
	out = seen.letters()
	if seen.dark {
		out = append(out, Named(DarkSign+" dark"))
	}
	if seen.outside {
		out = append(out, Named(OutsideSign+" outside"))
	}
	return out
}

// lightSigns records which signs of light a drawing contains.
type lightSigns struct {
	dark, outside bool
	drawn         [2][8]bool // capitals and small letters, by hue
}

func (l *lightSigns) add(c *Canvas, s *spot) {
	if c.asks(s) || c.marks(s) {
		return
	}
	lit, out, hole := !s.now[0].Dark(), c.outsideOf(s), c.allHoles(s.up)
	l.outside = l.outside || out
	l.dark = l.dark || !lit && !out && !hole
	if lit {
		size := 0
		if dimLetter(s.now[0], c.level) {
			size = 1
		}
		l.drawn[size][hue(mix(s.now[0]))] = true
	}
}

// letters explain the letters in use: up to two by name, more by one general rule.
func (l *lightSigns) letters() (out []Name) {
	for size, hues := range l.drawn {
		for h, drawn := range hues {
			if name := hueNames[h]; drawn && size == 0 {
				out = append(out, Named(letters[0][h]+" "+name))
			} else if drawn {
				out = append(out, Named(letters[1][h]+" dim "+name))
			}
		}
	}
	if len(out) <= 2 {
		return out
	}
	out = []Name{initials}
	if slices.Contains(l.drawn[1][:], true) {
		out = append(out, smallDim)
	}
	return out
}

// The general rules for letters.
var (
	initials = Name{"letters: initials of colours", "letters: colours"}
	smallDim = Name{"small letters dim", "small: dim"}
)
