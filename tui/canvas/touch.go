package canvas

// touchingFrom is the share of cells from which runs look like one.
const touchingFrom = 0.25

// Touching reports whether runs lie so close to one another in a given number of cells of a drawing
// as it lies that one cannot tell them apart: more than a quarter of the cells with pixels
// have one of another run right beside, above or below.
func (c *Canvas) Touching() bool {
	if c.view == Rows || len(c.counts) < 2 {
		return false
	}
	run := map[[2]int]int{}
	for y := range c.rows {
		for _, s := range c.rows[y].spots {
			if r, _, ok := c.At(s.col, y); ok {
				run[[2]int{s.col, y}] = r
			}
		}
	}
	touch := 0
	for at, r := range run {
		for _, by := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			if other, ok := run[[2]int{at[0] + by[0], at[1] + by[1]}]; ok && other != r {
				touch++
				break
			}
		}
	}
	return float64(touch) > touchingFrom*float64(len(run))
}
