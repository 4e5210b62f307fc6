package canvas

import "example.org/ringout/internal/prop"

// Apart is the drawing c, or, where its runs cannot be told apart in this room, all pixels
// row by row if each has a mark of its own there.
func (c *Canvas) Apart(p *prop.Prop, width, height int) *Canvas {
	if !c.Touching() {
		return c
	}
	if rows := New(p, c.counts, Rows, width, height, c.depth); rows.per == 1 {
		return rows
	}
	return c
}
