package canvas

import "slices"

// touchingFrom is the share of cells from which runs look like one.
const touchingFrom = 0.25

// Touching reports whether runs lie so close to one another in a given number of cells of a drawing
// as it lies that one cannot tell them apart: more than a quarter of the cells with pixels
// have one of another run right beside, above or below.
func (c *Canvas) Touching() bool {
	if c.view == Rows || len(c.counts) < 2 {
		return false
	}
	runs := c.runsAt()
	touch, cells := 0, 0
	for y := 1; y < len(runs)-1; y++ {
		for x, r := range runs[y] {
			if r == 0 {
				continue
			}
			cells++
			if besideOther(runs, x, y) {
				touch++
			}
		}
	}
	return float64(touch) > touchingFrom*float64(cells)
}

// besideOther reports whether a cell of runsAt has a neighbour of another run.
func besideOther(runs [][]int32, x, y int) bool {
	for _, r := range [...]int32{runs[y][x-1], runs[y][x+1], runs[y-1][x], runs[y+1][x]} {
		if r != 0 && r != runs[y][x] {
			return true
		}
	}
	return false
}

// runsAt are the runs of the cells with pixels, from 1, and 0 for the others, with an empty line and an empty
// column on each side. Where pixels share a cell it is the run of the first of them.
func (c *Canvas) runsAt() [][]int32 {
	var of []int32
	for r, n := range c.counts {
		of = append(of, slices.Repeat([]int32{int32(r + 1)}, n)...)
	}
	wide := 0
	for y := range c.rows {
		wide = max(wide, c.rows[y].width)
		for _, s := range c.rows[y].spots {
			wide = max(wide, s.col+1)
		}
	}
	out := make([][]int32, len(c.rows)+2)
	for y := range out {
		out[y] = make([]int32, wide+2)
	}
	for y := range c.rows {
		for _, s := range c.rows[y].spots {
			first := int32(len(of))
			for _, i := range s.up {
				first = min(first, i)
			}
			for _, i := range s.low {
				first = min(first, i)
			}
			out[y+1][s.col+1] = of[first]
		}
	}
	return out
}
