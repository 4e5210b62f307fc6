package canvas

import "strings"

// Used are the first line of the drawing that has pixels, signs or a label and the line
// after the last one; both 0 where there are none. A drawing as it lies is in the middle
// of its room, so lines above and below may be free.
func (c *Canvas) Used() (first, after int) {
	for i := range c.rows {
		r := &c.rows[i]
		if len(r.spots) == 0 && len(r.marks) == 0 && strings.TrimSpace(r.label) == "" {
			continue
		}
		if after == 0 {
			first = i
		}
		after = i + 1
	}
	return first, after
}

// FromTop is lines of this drawing with one free line above the first that is used, if there is
// a free one, and the other free lines below: it stands right under its legend.
func (c *Canvas) FromTop(lines []string) []string {
	first, after := c.Used()
	out := make([]string, 0, len(lines))
	free := append(append(out, lines[:first]...), lines[after:]...)
	if len(free) == 0 || after == 0 {
		return lines
	}
	return append(append([]string{free[0]}, lines[first:after]...), free[1:]...)
}

// SignRows is Signs without the free lines above and below. In rows it has at most one
// free line between two runs, and none between rows of one run: signs are one line high where
// light has bars.
func (c *Canvas) SignRows(rank []uint8, signs []string) []string {
	first, after := c.Used()
	lines := c.Signs(rank, signs)[first:after]
	if !c.Rows() {
		return lines
	}
	out := make([]string, 0, len(lines))
	for i, l := range lines {
		blank := strings.TrimSpace(l) == ""
		if blank && len(out) > 0 && strings.TrimSpace(out[len(out)-1]) == "" || c.rows[first+i].below {
			continue
		}
		out = append(out, l)
	}
	return out
}
