package canvas

import (
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/style"
)

// bulb reports whether a drawing has one pixel, planned and counted.
func (c *Canvas) bulb(p *prop.Prop) bool { return p.Pixels() == 1 && len(c.flat) == 1 }

// lowDisc is the number of rows in which a disc takes all of the first two, since it would be a dot
// else.
const lowDisc = 3

// layBulb draws a prop of one pixel as a disc, whose colour is seen from two metres, without the
// direction of data. It is made of whole cells: a sign that fills a cell has no halves, and the disc
// has one shape whatever its light.
func (c *Canvas) layBulb(width, height int) {
	c.rows = make([]row, max(1, height))
	for i := range c.rows {
		c.rows[i].width = width
	}
	r, lines := min((width-4)/2, height-2), height // a row of ground above and below
	if height == lowDisc {
		r, lines = min((width-4)/2, 2), 2
	}
	if r < 1 {
		c.rows[0].spots = []spot{{up: []int32{0}}}
		return
	}
	c.fine, c.disc = true, true
	if r > 1 {
		r -= (lines - r) % 2 // else one row of few cells would stand out above and below
	}
	edge := float64(r) + 0.15 // with more or less small discs look square
	if width%2 == 1 {
		edge = float64(r) + 0.35 // else one cell would stand out at the sides
	}
	cell := spot{up: []int32{0}, low: []int32{0}}
	if c.depth == style.Letters {
		cell.low = nil
	}
	for line := range lines {
		for col := range width {
			dx, dy := float64(col)-float64(width-1)/2, float64(2*line)-float64(lines-1)
			if dx*dx+dy*dy <= edge*edge {
				cell.col = col
				c.rows[line].spots = append(c.rows[line].spots, cell)
			}
		}
	}
}

// Outline is the edge of a disc of a sign, in lines: of a bulb whose light says nothing only its place is
// drawn.
func Outline(disc []string, sign string) []string {
	var cells [][]rune
	for _, l := range disc {
		cells = append(cells, []rune(l))
	}
	at := func(x, y int) bool {
		return y >= 0 && y < len(cells) && x >= 0 && x < len(cells[y]) && string(cells[y][x]) == sign
	}
	out := make([]string, len(cells))
	for y, row := range cells {
		edge := slices.Clone(row)
		for x := range row {
			if at(x-2, y) && at(x+2, y) && at(x, y-1) && at(x, y+1) { // a cell is twice as high as wide
				edge[x] = ' '
			}
		}
		out[y] = string(edge)
	}
	return out
}
