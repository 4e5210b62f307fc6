package canvas

import "fmt"

// layFlow puts run after run into the rows, as words into lines: the arrowhead before the first
// pixel of each, in fives or, of more pixels a mark, in tens with an arrowhead after each, and a
// free column after the last. Its marks cover the fewest pixels at which all runs fit.
func (c *Canvas) layFlow(width, height int) {
	label := len(fmt.Sprint(len(c.flat))) + 1
	for _, s := range scales {
		c.per, c.group = s.per, s.groups[len(s.groups)-1]
		if c.flow(label, width) <= height {
			break
		}
	}
	for c.flow(label, width) > height && c.per < len(c.flat) {
		c.per += ten
	}
	c.heads = c.inOrder()
	c.fillUp(label, width, height)
}

// flow lays the rows for the pixels of a mark as they are now, and returns how many there are.
func (c *Canvas) flow(label, width int) int {
	c.rows = c.rows[:0]
	first, col := 0, width // the next free column
	cell := func(pixel int) *row {
		if col >= width || len(c.rows) == 0 {
			c.rows = append(c.rows, row{label: fmt.Sprintf("%*d", label-1, pixel+1), width: width})
			col = label
		}
		col++
		return &c.rows[len(c.rows)-1]
	}
	for run, n := range c.counts {
		for at := 0; at < n; at += c.per {
			switch head := run<<16 | at; {
			case at == 0 && first == 0:
				r := cell(0)
				r.marks = append(r.marks, mark{label - 1, "▶", entry})
				col = label // it stands in the column of the label's end
			case at == 0, at/c.per%c.group == 0 && col < width:
				r := cell(first + at)
				r.marks = append(r.marks, mark{col - 1, "›", head})
			}
			r := cell(first + at)
			s := spot{col: col - 1}
			for i := at; i < min(n, at+c.per); i++ {
				s.up = append(s.up, int32(first+i))
			}
			r.spots = append(r.spots, s)
			c.flowEnd(r, first, at, n)
		}
		if first += n; n > 0 && col < width {
			col++
		}
	}
	return len(c.rows)
}

// flowEnd makes the mark with the first or the last pixel of a run show that pixel, as showEnds
// does.
func (c *Canvas) flowEnd(r *row, first, at, n int) {
	s := &r.spots[len(r.spots)-1]
	switch {
	case c.per == 1:
	case at == 0:
		s.end = []int32{int32(first)}
	case at+c.per >= n:
		s.end = []int32{int32(first + n - 1)}
	}
}
