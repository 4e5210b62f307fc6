package canvas

// Signs draws a sign at each pixel instead of its light: signs[rank[pixel]],
// each one cell wide with or without colour. Where pixels share a cell the
// highest rank is shown. Pixels without a rank have rank 0. The lines are as
// wide as those of Lines and belong to the caller.
func (c *Canvas) Signs(rank []uint8, signs []string) []string {
	out := make([]string, len(c.rows))
	for i := range c.rows {
		r := &c.rows[i]
		b := append(c.buf[:0], r.label...)
		at := len(r.label)
		put := func(col int, sign string) {
			for ; at < col; at++ {
				b = append(b, ' ')
			}
			b = append(b, sign...)
			at++
		}
		marks := r.marks
		for k := range r.spots {
			s := &r.spots[k]
			for ; len(marks) > 0 && marks[0].col < s.col; marks = marks[1:] {
				put(marks[0].col, c.markSign(marks[0]))
			}
			top := max(highest(rank, s.up), highest(rank, s.low))
			put(s.col, signs[min(int(top), len(signs)-1)])
		}
		for _, m := range marks {
			put(m.col, c.markSign(m))
		}
		for ; at < r.width; at++ {
			b = append(b, ' ')
		}
		c.buf, out[i] = b, string(b)
	}
	return out
}

// markSign is a mark in the terminal's own colours, bold where data enters.
func (c *Canvas) markSign(m mark) string {
	if m.head == entry {
		return EntrySign(m.text, false, c.depth)
	}
	return m.text
}

func highest(rank []uint8, at []int32) (top uint8) {
	for _, i := range at {
		if int(i) < len(rank) {
			top = max(top, rank[i])
		}
	}
	return top
}

// Crowded is the share of pixels, 0 to 1, that lie on one another in the
// drawing and cannot be told apart there.
func (c *Canvas) Crowded() float64 {
	hidden := 0
	for i := range c.rows {
		for _, s := range c.rows[i].spots {
			hidden += max(0, len(s.up)-1) + max(0, len(s.low)-1)
		}
	}
	return float64(hidden) / float64(max(1, len(c.flat)))
}
