package canvas

import (
	"strconv"
	"strings"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// A pen remembers what the terminal was last told, so that nothing is said twice.
type pen struct {
	b        strings.Builder
	fg, bg   string // SGR parameters in force, empty for the terminal's own
	mat      string // background of empty places
	at       int    // column
	coloured bool
}

// write makes the line of a row.
func (c *Canvas) write(r *row) string {
	p := pen{coloured: c.depth != style.Letters, mat: mat[c.depth]}
	p.b.WriteString(r.label)
	p.at = len(r.label)
	for i := range r.spots {
		s := &r.spots[i]
		p.skip(s.col)
		if c.depth == style.Letters {
			p.b.WriteByte(letter(s.now[0], c.level))
			p.at++
			continue
		}
		p.spot(s, c.level, c.depth)
	}
	p.skip(r.width)
	p.ink("", "")
	return p.b.String()
}

// skip moves to a column over empty cells.
func (p *pen) skip(col int) {
	if col > p.at {
		p.ink(p.fg, p.mat)
		p.b.WriteString(strings.Repeat(" ", col-p.at))
		p.at = col
	}
}

// spot draws one cell of one or two halves.
func (p *pen) spot(s *spot, level float64, d style.Depth) {
	up, low := ink(s.now[0], level, d), ink(s.now[1], level, d)
	switch {
	case len(s.low) == 0:
		p.ink(up, p.mat)
		p.b.WriteString("▀")
	case len(s.up) == 0:
		p.ink(low, p.mat)
		p.b.WriteString("▄")
	case up == low:
		p.ink(up, p.bg)
		p.b.WriteString("█")
	default:
		p.ink(up, low)
		p.b.WriteString("▀")
	}
	p.at++
}

// ink sets foreground and background, as far as they differ from those in force.
func (p *pen) ink(fg, bg string) {
	if !p.coloured || fg == p.fg && bg == p.bg {
		return
	}
	p.b.WriteString("\x1b[")
	if fg == "" && bg == "" {
		p.b.WriteByte('0')
	} else {
		sep := ""
		if fg != p.fg {
			p.b.WriteString(or(fg, "39"))
			sep = ";"
		}
		if bg != p.bg {
			p.b.WriteString(sep)
			p.b.WriteString(background(bg))
		}
	}
	p.b.WriteByte('m')
	p.fg, p.bg = fg, bg
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// background turns SGR parameters of a foreground into those of a background:
// 38 becomes 48, 30 to 37 become 40 to 47, 90 to 97 become 100 to 107.
func background(fg string) string {
	switch {
	case fg == "":
		return "49"
	case strings.HasPrefix(fg, "38;"):
		return "4" + fg[1:]
	}
	n, _ := strconv.Atoi(fg)
	return strconv.Itoa(n + 10)
}

// letter stands for a colour where there are none: capitals for light of half
// the level or more, a dot for a dark pixel.
func letter(c patterns.Colour, level float64) byte {
	if c.Dark() {
		return '.'
	}
	l := "?RGYBMCW"[hue(mix(c))]
	if float64(max(c.R, c.G, c.B, c.W, c.C)) < 127.5*level {
		l += 'a' - 'A'
	}
	return l
}
