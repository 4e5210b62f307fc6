package canvas

import (
	"slices"
	"strings"

	"example.org/ringout/tui/style"
)

// Used are the first line of the drawing that has pixels, signs or a label and the line
// after the last one; both 0 where there are none. A drawing as it lies is in the middle
// of its room, so lines above and below may be free. A bulb keeps one of them, as its ground.
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
	if len(c.flat) == 1 && c.fine {
		return max(0, first-1), min(len(c.rows), after+1)
	}
	return first, after
}

// UsedColumns are the first column of the drawing that has pixels or signs and the column after the last
// one; both 0 where there are none.
func (c *Canvas) UsedColumns() (first, after int) { return c.columns(true) }

// columns are those of pixels, and of signs too.
func (c *Canvas) columns(signs bool) (first, after int) {
	add := func(col int) {
		if after == 0 || col < first {
			first = col
		}
		after = max(after, col+1)
	}
	for i := range c.rows {
		for _, s := range c.rows[i].spots {
			add(s.col)
		}
		for _, m := range c.rows[i].marks {
			if signs {
				add(m.col)
			}
		}
	}
	return first, after
}

// FromTop is lines of this drawing with one free line above the first that is used, if there is one, and the
// other free lines below: it stands right under its legend.
func (c *Canvas) FromTop(lines []string) []string {
	first, after := c.Used()
	if after == 0 {
		return lines
	}
	out := make([]string, 0, len(lines))
	free := append(append(out, lines[:first]...), lines[after:]...)
	if len(free) == 0 || style.Blank(lines[first]) { // ground of the drawing is gap enough
		return append(slices.Clone(lines[first:after]), free...)
	}
	return append(append([]string{free[0]}, lines[first:after]...), free[1:]...)
}

// SignRows is Signs without the free lines above and below.
func (c *Canvas) SignRows(rank []uint8, signs []string) []string {
	first, after := c.Used()
	return c.Signs(rank, signs)[first:after]
}
