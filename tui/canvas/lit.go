package canvas

import (
	"cmp"
	"slices"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// A Lit is a light as drawings have it.
type Lit struct {
	Light patterns.Colour
	Level float64 // in force
	Sign  string
	pixel int32 // the first that has it
}

// Full reports whether the light is as bright as the level lets it be.
func (l Lit) Full() bool { return shareOf(l.Light, l.Level) > 0.9 }

// Name is what the light is called.
func (l Lit) Name(d style.Depth) string {
	_, name := Seen(l.Light, l.Level, d)
	return name
}

// DrawnLights are the lights of drawings, each once, as their pixels follow one another; nil where
// there are more than so many.
func DrawnLights(most int, drawings ...*Canvas) (out []Lit) {
	for _, c := range drawings {
		if out = c.addLights(out, most); len(out) > most {
			return nil
		}
	}
	slices.SortStableFunc(out, func(a, b Lit) int { return cmp.Compare(a.pixel, b.pixel) })
	return out
}

// addLights adds the lights of a drawing, until there are more than so many.
func (c *Canvas) addLights(out []Lit, most int) []Lit {
	for i := range c.rows {
		for j := range c.rows[i].spots {
			if out = c.addLit(out, &c.rows[i].spots[j]); len(out) > most {
				return out
			}
		}
	}
	return out
}

// addLit adds the lights of one place.
func (c *Canvas) addLit(out []Lit, s *spot) []Lit {
	if c.asks(s) || c.marks(s) {
		return out
	}
	for i, at := range [][]int32{s.up, s.low} {
		now := s.now[i]
		if len(at) == 0 || now.Dark() {
			continue
		}
		known := slices.IndexFunc(out, func(l Lit) bool { return l.Light == now && l.Level == c.level })
		if known < 0 {
			out = append(out, Lit{now, c.level, c.litSign(now), at[0]})
			continue
		}
		out[known].pixel = min(out[known].pixel, at[0])
	}
	return out
}

// litSign is the sign in a legend of a light of this drawing: halves of cells have one size.
func (c *Canvas) litSign(light patterns.Colour) string {
	if c.fine {
		return LitSign
	}
	return SignOf(light, c.level)
}
