package canvas

import (
	"fmt"
	"slices"

	"example.org/ringout/tui/style"
)

// A Name is what a legend says of a sign, or of a drawing: in full and in the fewest words.
type Name struct{ Full, Brief string }

// Named is a text that has no fewer words.
func Named(text string) Name { return Name{text, text} }

// Legend is names in so many rows at most, with two spaces between: in full where there is
// room, else those that come last in fewer words. all reports whether each is there: where
// even the fewest words have no room, those that come last are left out.
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

// filled are names in so many rows, the last ones in fewer words.
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

// Way names the signs of the way that this drawing has: where data enters, and the first of
// its arrowheads; empty where there are none.
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

// signOf is the sign of an arrowhead, or of where data enters; empty where it is not drawn.
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

// Scale says how many pixels a mark covers; empty where it is one.
func (c *Canvas) Scale() Name {
	if c.per == 1 {
		return Name{}
	}
	return Name{fmt.Sprintf("%d pixels a mark", c.per), fmt.Sprintf("%d a mark", c.per)}
}

// With is a name with a comma and another one after it, where there is one.
func (n Name) With(other Name) Name {
	if other.Full == "" {
		return n
	}
	return Name{n.Full + ", " + other.Full, n.Brief + ", " + other.Brief}
}

// Shared says that this drawing, as it lies, has fewer signs than there are pixels; empty
// where each has its own. Two lights may lie in the halves of a cell, signs may not.
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

// LightNames name the signs of a drawing of light, those first that are needed most: the way,
// holes, and where there are no colours what letters mean.
func (c *Canvas) LightNames() (out []Name) {
	out = append(out, c.Way())
	if c.HasHoles() {
		out = append(out, Name{Hole + " left empty", Hole + " empty"})
	}
	return append(append(out, c.letterNames()...), c.Shared(true))
}

// MostNames are all that LightNames may be, whatever is lit, of the whole prop or of a part.
func (c *Canvas) MostNames(part bool) (out []Name) {
	out = append(out, c.Way())
	if c.HasHoles() {
		out = append(out, Name{Hole + " left empty", Hole + " empty"})
	}
	if c.depth == style.Letters {
		out = append(out, initials, Named(DarkSign+" dark"), smallDim)
		if part {
			out = append(out, Named(OutsideSign+" outside"))
		}
	}
	return append(out, c.Shared(true))
}

// LegendRows is how many rows a legend has above a drawing, up to most: as many as it takes to
// fit, if the drawing, which is laid out below so many rows, loses nothing by it; one that is
// coarse anyway may.
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

// SignNames name what each drawing of signs has: the way, and that signs are shared.
func (c *Canvas) SignNames() []Name { return []Name{c.Way(), c.Shared(false)} }

// letterNames name the signs of light that are drawn now where there are no colours.
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

// lightSigns are the signs of light that a drawing has.
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

// letters say what letters stand for: up to two by name, more in general.
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

// What letters stand for in general.
var (
	initials = Name{"letters: initials of colours", "letters: colours"}
	smallDim = Name{"small letters dim", "small: dim"}
)
