package canvas

import (
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// A pen writes a line and keeps the colours in force, so that no escape is repeated.
type pen struct {
	b        []byte
	fg, bg   ink // in force
	mat      ink // background of empty places
	at       int // column
	coloured bool
}

// write makes the line of a row.
func (c *Canvas) write(r *row) string {
	p := pen{b: c.buf[:0], coloured: c.depth != style.Letters, mat: mat[c.depth]}
	if r.label != "" { // a part of the drawing, on its ground
		p.ink(wayInk[c.depth], p.mat)
	}
	p.b = append(p.b, r.label...)
	p.at = len(r.label)
	marks := r.marks
	for i := range r.spots {
		s := &r.spots[i]
		for ; len(marks) > 0 && marks[0].col < s.col; marks = marks[1:] {
			c.writeMark(&p, marks[0])
		}
		p.skip(s.col)
		c.writeSpot(&p, s)
	}
	for _, m := range marks {
		c.writeMark(&p, m)
	}
	p.skip(r.width)
	p.ink(0, 0)
	c.buf = p.b
	return string(p.b)
}

func (c *Canvas) writeMark(p *pen, m mark) {
	p.skip(m.col)
	p.ink(c.markInk(m), p.mat)
	p.b = append(p.b, m.text...)
	p.at++
}

// Hole is the sign of a hole left empty, and of any pixel that gives no light.
const Hole = "◦"

func (c *Canvas) writeSpot(p *pen, s *spot) {
	switch {
	case c.marks(s):
		p.ink(markedInk[c.depth], p.mat)
		p.b = append(p.b, Marked...)
		p.at++
	case c.asks(s) && c.depth == style.Letters:
		p.b = append(p.b, AskedSign(c.depth)...)
		p.at++
	case c.asks(s):
		p.ink(askedInk[c.depth], askedGround[c.depth])
		p.b = append(p.b, Asked...)
		p.at++
	case c.allHoles(s.up) && c.allHoles(s.low):
		p.ink(wayInk[c.depth], p.mat)
		p.b = append(p.b, Hole...)
		p.at++
	case c.outsideOf(s):
		p.ink(c.signInk(s.now[0]), p.mat)
		p.b = append(p.b, OutsideSign...)
		p.at++
	case c.depth == style.Letters:
		p.b = append(p.b, letter(s.now[0], c.level)...)
		p.at++
	case !c.fine: // marks with gaps between them, to be counted
		p.ink(c.signInk(s.now[0]), p.mat)
		p.b = append(p.b, SignOf(s.now[0], c.level)...)
		p.at++
	case c.disc:
		c.writeDisc(p, s)
	default:
		p.spot(s, &c.inks)
	}
}

// allHoles reports whether all pixels of a place are holes without light.
func (c *Canvas) allHoles(at []int32) bool {
	for _, i := range at {
		if !c.empty[i] || !c.flat[i].Dark() {
			return false
		}
	}
	return true
}

// skip moves to a column over empty cells.
func (p *pen) skip(col int) {
	if col > p.at {
		p.ink(p.fg, p.mat)
	}
	for ; p.at < col; p.at++ {
		p.b = append(p.b, ' ')
	}
}

// spot draws one cell of one or two halves.
func (p *pen) spot(s *spot, k *inks) {
	p.at++
	switch {
	case len(s.low) == 0:
		p.ink(k.of(s.now[0]), p.mat)
		p.b = append(p.b, "▀"...)
		return
	case len(s.up) == 0:
		p.ink(k.of(s.now[1]), p.mat)
		p.b = append(p.b, "▄"...)
		return
	}
	up, low := k.of(s.now[0]), k.of(s.now[1])
	if up == low {
		p.ink(up, p.bg)
		p.b = append(p.b, "█"...)
		return
	}
	p.ink(up, low)
	p.b = append(p.b, "▀"...)
}

// ink sets foreground and background, as far as they differ from those in force.
func (p *pen) ink(fg, bg ink) {
	if !p.coloured || fg == p.fg && bg == p.bg {
		return
	}
	b := append(p.b, "\x1b["...)
	switch {
	case fg == 0 && bg == 0:
		b = append(b, '0')
	case bg == p.bg:
		b = fg.append(b, 0)
	case fg == p.fg:
		b = bg.append(b, 10)
	default:
		b = bg.append(append(fg.append(b, 0), ';'), 10)
	}
	p.b, p.fg, p.bg = append(b, 'm'), fg, bg
}

// signInk is the ink of a light where dark pixels have a sign of their own.
func (c *Canvas) signInk(light patterns.Colour) ink {
	if light.Dark() {
		return dotInk[c.depth]
	}
	return c.inks.of(light)
}

// writeDisc draws a cell of the disc of a bulb: an area of little light is drawn with the ground in
// between, or it would look as bright as a pixel of full light.
func (c *Canvas) writeDisc(p *pen, s *spot) {
	light := s.now[0]
	fill := fillOf(light, c.level, c.depth)
	if fill == "" {
		p.spot(s, &c.inks)
		return
	}
	p.ink(c.signInk(light), p.mat)
	p.b = append(p.b, fill...)
	p.at++
}

// fillOf is the sign that fills the disc of a bulb of little light; empty for one that is all light.
func fillOf(light patterns.Colour, level float64, d style.Depth) string {
	if light.Dark() {
		return DarkSign
	}
	switch at := bandOf(shareOf(light, level)); {
	case at == faint:
		return "░"
	case at < full && d == style.Sixteen:
		return "▒"
	}
	return ""
}

// Area is the mark of a bulb's light in a table: what fills its disc, or else the sign of a pixel.
func Area(c patterns.Colour, level float64, d style.Depth) string {
	if fill := fillOf(c, level, d); d != style.Letters && fill != "" && !c.Dark() {
		return Inked(fill, c, level, d)
	}
	return Pixel(c, level, d)
}

// Signs of one pixel. Shapes differ too, since greys next to each other look alike from two metres.
const (
	PlanSign  = "○" // of the plan: nothing is said of its light
	DarkSign  = "•" // gives no light
	smallSign = "▪" // gives little: dim or faint
	LitSign   = "■"
)

// signOf is the sign of a band.
func signOf(at band) string {
	switch {
	case at == none:
		return DarkSign
	case at < full:
		return smallSign
	}
	return LitSign
}

// Pixel is the mark of a pixel in a drawing of light, for a table beside it.
func Pixel(c patterns.Colour, level float64, d style.Depth) string {
	if d == style.Letters {
		return letter(c, level)
	}
	if c.Dark() {
		return DarkMark(d)
	}
	return Inked(SignOf(c, level), c, level, d)
}

// letters are the signs of light by hue: small ones for dim and faint light.
var letters = [2][8]string{{"?", "R", "G", "Y", "B", "M", "C", "W"}, {"?", "r", "g", "y", "b", "m", "c", "w"}}

// letter is the sign of a colour on terminals without colours.
func letter(c patterns.Colour, level float64) string {
	switch {
	case c.Dark():
		return DarkSign
	case dimLetter(c, level):
		return letters[1][hue(mix(c))]
	}
	return letters[0][hue(mix(c))]
}

// dimLetter reports whether light is written in a small letter.
func dimLetter(c patterns.Colour, level float64) bool {
	return bandOf(shareOf(c, level)) < full
}
