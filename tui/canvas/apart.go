package canvas

import "example.org/ringout/internal/prop"

// Apart is the drawing c, or all pixels in rows when the runs of c touch and each pixel
// has a mark of its own in rows.
func (c *Canvas) Apart(p *prop.Prop, width, height int) *Canvas {
	if !c.Touching() {
		return c
	}
	if rows := New(p, c.counts, Rows, width, height, c.depth); rows.per == 1 {
		return rows
	}
	return c
}
