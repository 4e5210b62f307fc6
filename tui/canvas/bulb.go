package canvas

import "example.org/ringout/internal/prop"

// bulb reports whether a drawing has one pixel, planned and counted.
func (c *Canvas) bulb(p *prop.Prop) bool { return p.Pixels() == 1 && len(c.flat) == 1 }

// lowDisc is the number of rows in which a disc takes all of the first two, since it would be a dot
// else.
const lowDisc = 3

// layBulb draws a prop of one pixel as a disc, whose colour is seen from two metres,
// without the direction of data.
func (c *Canvas) layBulb(width, height int) {
	c.rows = make([]row, max(1, height))
	for i := range c.rows {
		c.rows[i].width = width
	}
	r := min((width-4)/2, height-2) // a row of ground above and below
	midX, midY := float64(width-1)/2, float64(2*height-1)/2
	if height == lowDisc {
		r, midY = min((width-4)/2, 2), 1.5
	}
	if r < 1 {
		c.rows[0].spots = []spot{{up: []int32{0}}}
		return
	}
	c.fine, c.disc = true, true
	for half := range 2 * height {
		for col := range width {
			dx, dy := float64(col)-midX, float64(half)-midY
			if dx*dx+dy*dy <= float64(r*r) {
				c.put(0, col, half)
			}
		}
	}
	c.sort()
}
