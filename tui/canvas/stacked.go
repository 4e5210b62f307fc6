package canvas

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/style"
)

// Stacked reports whether two drawings of p with a legend each, in width x height cells, show more one
// above the other than side by side with a gap between: the prop as it lies where it had to be in rows,
// or clearly larger.
func (d *Drafts) Stacked(p *prop.Prop, width, gap, height int, depth style.Depth) bool {
	const larger = 1.4
	above := d.Best(p, nil, width, OfTwo(height)-1, depth)
	if above.Rows() || !(above.Clear() || above.Even()) {
		return false
	}
	beside := d.Best(p, nil, (width-gap)/2, height-1, depth)
	return beside.Rows() || float64(above.reach()) > larger*float64(beside.reach())
}

// Beside is the gap between two drawings of p as it lies, side by side in width x height cells: the wider one
// of two, or none where these are larger without it and each has as much free at its sides.
func (d *Drafts) Beside(p *prop.Prop, width, gap, height int, depth style.Depth) int {
	apart := d.Best(p, nil, (width-gap)/2, height, depth)
	if apart.Rows() {
		return gap
	}
	close := d.Best(p, nil, width/2, height, depth)
	if first, after := close.UsedColumns(); close.Rows() || close.reach() <= apart.reach() || first+width/2-after < gap {
		return gap
	}
	return 0
}

// Long reports whether p is much wider than it is high and drawn as it lies in width x height cells, in
// which a smaller width would need rows.
func Long(p *prop.Prop, width, height int, d style.Depth) bool {
	lo, hi := prop.Bounds(prop.Layout(p)...)
	return hi.X-lo.X > flat*(hi.Y-lo.Y) && !shapeless(p) && !Best(p, nil, width, height, d).Rows()
}

// OfTwo is the height of each of two drawings one above the other, with an empty row between.
func OfTwo(height int) int { return max(0, (height-1)/2) }

// reach is the number of columns from the first to the last pixel.
func (c *Canvas) reach() int {
	first, after := c.columns(false)
	return after - first
}
