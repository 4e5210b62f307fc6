package canvas

import (
	"strings"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// Swatch is a pixel's mark in a legend, with a word; the space that does not break keeps both on
// one line. On a light background it has ground to either side, or white would not be seen.
func Swatch(words string, onLight bool) string {
	if onLight {
		return "\u00a0■\u00a0\u00a0" + words
	}
	return "■\u00a0" + words
}

// ShadeNames explain the greys of this drawing in colours: dark pixels, and with words how bright
// the light is, by the bands that are drawn; where a terminal has one shade for several, they
// are named as one. Without colours letters have names of their own.
func (c *Canvas) ShadeNames(words, onLight bool) []Name {
	if c.depth == style.Letters {
		return nil
	}
	drawn := make([]bool, full+1)
	for i := range c.rows {
		for j := range c.rows[i].spots {
			c.shades(&c.rows[i].spots[j], drawn)
		}
	}
	return c.shadeNames(drawn, words, onLight)
}

// MostShadeNames are the most names that ShadeNames can return, whatever is lit.
func (c *Canvas) MostShadeNames(words, onLight bool) []Name {
	if c.depth == style.Letters {
		return nil
	}
	drawn := make([]bool, full+1)
	for i := range drawn {
		drawn[i] = true
	}
	return c.shadeNames(drawn, words, onLight)
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
		default:
			drawn[min(full, bandOf(shareOf(now, c.level)))] = true
		}
	}
}

func (c *Canvas) shadeNames(drawn []bool, words, onLight bool) (out []Name) {
	if drawn[none] {
		out = append(out, Named(Swatch(bandNames[none], onLight)))
	}
	if !words {
		return out
	}
	var parts []string
	if c.depth == style.Sixteen {
		if less := bandWords(drawn[faint:full], faint); less != "" {
			parts = append(parts, Swatch(strings.ReplaceAll(less, " ", "\u00a0"), onLight))
		}
	} else {
		for at := faint; at < full; at++ {
			if drawn[at] {
				parts = append(parts, Swatch(bandNames[at], onLight))
			}
		}
	}
	if drawn[full] {
		parts = append(parts, Swatch(bandNames[full], onLight))
	}
	if len(parts) == 0 {
		return out
	}
	return append(out, Named(strings.Join(parts, "\u00a0\u00a0")))
}

// shadeOf is white light of a band, by the first word of its swatch.
func shadeOf(words string) (c patterns.Colour, ok bool) {
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

// InLegend is a line of a legend: the signs of light, of where data enters and of the marked pixel
// as the drawing has them, the rest as rest writes it. On a light background the sign of where data
// enters stays in the terminal's own colour, since a dark cell alone would be taken for a pixel.
func InLegend(line string, d style.Depth, onLight bool, rest func(...string) string) string {
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
		at := strings.IndexAny(line, "■▶▼◀▲"+Marked)
		if at < 0 {
			plain(line)
			return out.String()
		}
		sign, after := first(line[at:])
		before := line[:at]
		light, isShade := shadeOf(strings.TrimLeft(after, "\u00a0"))
		switch {
		case sign == "■" && isShade && strings.HasSuffix(before, "\u00a0") && strings.HasPrefix(after, "\u00a0\u00a0"):
			plain(strings.TrimSuffix(before, "\u00a0"))
			out.WriteString(Inked("\u00a0■\u00a0", light, 1, d))
			after = strings.TrimPrefix(after, "\u00a0")
		case sign == "■" && isShade:
			plain(before)
			out.WriteString(Inked(sign, light, 1, d))
		case sign == Marked:
			plain(before)
			out.WriteString(MarkedSign(d))
		case sign != "■" && !onLight && saysEntry(after):
			plain(before)
			out.WriteString(EntrySign(sign, true, d))
		default:
			plain(before + sign)
		}
		line = after
	}
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
