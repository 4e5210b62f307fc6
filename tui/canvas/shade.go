package canvas

import (
	"strings"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// Swatch is a pixel's sign in a legend, with a word; the space that does not break keeps both on
// one line.
func Swatch(sign, words string) string { return sign + "\u00a0" + words }

// SignOf is the sign of a light at a level.
func SignOf(c patterns.Colour, level float64) string {
	if c.Dark() {
		return signOf(none)
	}
	return signOf(bandOf(shareOf(c, level)))
}

// ShadeNames explain the greys of this drawing, and of others beside it, in colours: dark pixels, and
// with words how bright the light is, by the signs that are drawn; faint light has that of dim light.
// Without colours letters have names of their own.
func (c *Canvas) ShadeNames(words bool, also ...*Canvas) []Name {
	if c.depth == style.Letters {
		return nil
	}
	drawn := make([]bool, full+1)
	for _, c := range append(also, c) {
		c.addShades(drawn)
	}
	return c.shadeNames(drawn, words)
}

// ShadeNamesBeside are those of a drawing that has another one beside it: the sign that faint and dim
// light share has one name for both.
func (c *Canvas) ShadeNamesBeside(other *Canvas) []Name {
	if c.depth == style.Letters {
		return nil
	}
	own, others := make([]bool, full+1), make([]bool, full+1)
	c.addShades(own)
	other.addShades(others)
	if own[faint] || own[dimly] {
		own[faint], own[dimly] = own[faint] || others[faint], own[dimly] || others[dimly]
	}
	return c.shadeNames(own, true)
}

// addShades adds the bands of the drawing.
func (c *Canvas) addShades(drawn []bool) {
	for i := range c.rows {
		for j := range c.rows[i].spots {
			c.shades(&c.rows[i].spots[j], drawn)
		}
	}
}

// MostShadeNames are the most names that ShadeNames can return, whatever is lit.
func (c *Canvas) MostShadeNames(words bool) []Name {
	if c.depth == style.Letters {
		return nil
	}
	drawn := make([]bool, full+1)
	for i := range drawn {
		drawn[i] = true
	}
	return c.shadeNames(drawn, words)
}

// shades adds the bands of one place.
func (c *Canvas) shades(s *spot, drawn []bool) {
	if c.asks(s) || c.marks(s) {
		return
	}
	for i, at := range [][]int32{s.up, s.low} {
		switch now := s.now[i]; {
		case len(at) == 0 || now.Dark() && c.allHoles(at):
		case now.Dark():
			drawn[none] = true
		case !c.coloured(now):
			drawn[min(full, bandOf(shareOf(now, c.level)))] = true
		}
	}
}

// coloured reports whether a light is called by a colour: neither white nor too faint for one.
func (c *Canvas) coloured(light patterns.Colour) bool {
	_, name := Seen(light, c.level, c.depth)
	return name != bandNames[faint] && !strings.HasSuffix(name, hueNames[whiteHue])
}

// mostColours are as many colours as a legend names.
const mostColours = 3

// Colours explain the colours of this drawing where they are few, each by its own light; not
// without colours, where letters do.
func (c *Canvas) Colours() (names []Name, own Lights) {
	own = Lights{}
	for i := range c.rows {
		for j := range c.rows[i].spots {
			s := &c.rows[i].spots[j]
			names = c.addColour(c.addColour(names, own, s.now[0]), own, s.now[1])
		}
	}
	if len(names) > mostColours {
		return nil, nil
	}
	return names, own
}

// addColour adds a light to names, if it is a colour that they do not have.
func (c *Canvas) addColour(names []Name, own Lights, light patterns.Colour) []Name {
	if c.depth == style.Letters || light.Dark() || !c.coloured(light) {
		return names
	}
	_, name := Seen(light, c.level, c.depth)
	name = strings.ReplaceAll(name, " ", "\u00a0")
	if _, known := own[name]; known {
		return names
	}
	own[name] = light
	return append(names, Named(Swatch(SignOf(light, c.level), name)))
}

func (c *Canvas) shadeNames(drawn []bool, words bool) (out []Name) {
	if drawn[none] && !c.dotted() {
		out = append(out, Named(Swatch(LitSign, bandNames[none])))
	}
	if !words {
		return out
	}
	if drawn[faint] || drawn[dimly] { // with one sign
		sign := smallSign
		if c.fine {
			sign = LitSign
		}
		out = append(out, SmallName(sign, drawn[faint], drawn[dimly]))
	}
	if drawn[full] {
		out = append(out, Named(Swatch(LitSign, bandNames[full])))
	}
	return out
}

// SmallName names white light that is faint, dim or both, which have one sign.
func SmallName(sign string, isFaint, isDim bool) Name {
	return Named(Swatch(sign, bandWords([]bool{isFaint, isDim}, faint)))
}

// shadeOf is white light of a band, by the first word of its swatch; of both small ones the dim one.
func shadeOf(words string) (c patterns.Colour, ok bool) {
	words = strings.TrimPrefix(words, bandNames[faint]+"/")
	for at, name := range bandNames {
		if strings.HasPrefix(words, name) {
			v := uint8(0)
			if at > 0 {
				v = uint8(255 * bandEnds[at] * 0.9)
			}
			return patterns.Colour{R: v, G: v, B: v}, true
		}
	}
	return c, false
}

// Lights are lights by their words in a legend, as the strip gives them of the level of the drawing.
type Lights map[string]patterns.Colour

// InLegend is InLegendAt for a drawing of full level.
func InLegend(line string, d style.Depth, own Lights, rest func(...string) string) string {
	return InLegendAt(line, 1, d, own, rest)
}

// InLegendAt is a line of a legend: the signs of light, of where data enters and of the marked pixel
// as the drawing of that level has them, the rest as rest writes it. own are lights with words of
// their own.
func InLegendAt(line string, level float64, d style.Depth, own Lights, rest func(...string) string) string {
	if d == style.Letters {
		return rest(line)
	}
	var out strings.Builder
	plain := func(text string) {
		if text != "" {
			out.WriteString(rest(text))
		}
	}
	for {
		at := strings.IndexAny(line, DarkSign+smallSign+LitSign+"▶▼◀▲"+Marked+OutsideSign)
		if at < 0 {
			plain(line)
			return out.String()
		}
		sign, after := first(line[at:])
		plain(line[:at])
		if drawn := signInLegend(sign, after, level, d, own); drawn != "" {
			out.WriteString(drawn)
		} else {
			plain(sign)
		}
		line = after
	}
}

// signInLegend is one sign as the drawing has it, by the words after it; empty for others.
func signInLegend(sign, after string, level float64, d style.Depth, own Lights) string {
	word, said := strings.CutPrefix(after, "\u00a0")
	switch {
	case sign == Marked:
		return MarkedSign(d)
	case sign == OutsideSign && strings.HasPrefix(after, " outside"):
		return onMat(sign, dotInk[d], d)
	case sign+after == DarkName.Full, strings.HasPrefix(sign+after, DarkName.Full+" "):
		return DarkMark(d)
	case said:
		if c, ok := own.of(word); ok {
			return Inked(sign, c, level, d)
		}
		if c, ok := shadeOf(word); ok {
			return Inked(sign, c, 1, d)
		}
	case saysEntry(after):
		return EntrySign(sign, true, d)
	}
	return ""
}

// DarkMark is the sign of a dark pixel as a drawing of light has it.
func DarkMark(d style.Depth) string { return onMat(DarkSign, dotInk[d], d) }

// of is the light whose words a text begins with, the longest of them.
func (l Lights) of(text string) (c patterns.Colour, ok bool) {
	longest := 0
	for words, light := range l {
		if len(words) > longest && strings.HasPrefix(text, words) {
			c, ok, longest = light, true, len(words)
		}
	}
	return c, ok
}

// saysEntry reports whether the words after a sign say that data enters there.
func saysEntry(after string) bool {
	return strings.HasPrefix(after, " data in") || strings.HasPrefix(after, " in")
}

// first is the first sign of a text, and what follows it.
func first(text string) (sign, after string) {
	for i := range text {
		if i > 0 {
			return text[:i], text[i:]
		}
	}
	return text, ""
}
