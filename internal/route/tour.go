package route

// A tour is a cycle through all nodes. The step from the end of the string back to its
// start is part of it and is never removed.
type tour struct {
	grid *grid
	at   []int    // nodes in order
	pos  []int    // the inverse
	log  [][2]int // reversals so far, each by the indices of its segment
	work int      // exchanges of two nodes so far, plus a fixed number for each reversal
}

func newTour(g *grid, order []int) *tour {
	t := &tour{grid: g, pos: make([]int, g.n+2)}
	t.at = append(append(append(t.at, g.start), order...), g.end)
	for i, v := range t.at {
		t.pos[v] = i
	}
	return t
}

// order lists the holes from the start of the string to its end.
func (t *tour) order() []int {
	out := make([]int, 0, t.grid.n)
	next := t.after
	if t.after(t.grid.start) == t.grid.end {
		next = t.before
	}
	for v := next(t.grid.start); v != t.grid.end; v = next(v) {
		out = append(out, v)
	}
	return out
}

func (t *tour) after(v int) int {
	i := t.pos[v] + 1
	if i == len(t.at) {
		i = 0
	}
	return t.at[i]
}

func (t *tour) before(v int) int {
	i := t.pos[v] - 1
	if i < 0 {
		i = len(t.at) - 1
	}
	return t.at[i]
}

// reverse reverses the segment from index i to index j, or the rest of the tour if that
// is shorter, which is equivalent.
func (t *tour) reverse(i, j int) {
	m := len(t.at)
	t.log = append(t.log, [2]int{i, j})
	size := j - i + 1
	if size <= 0 {
		size += m
	}
	if 2*size > m {
		i, j = (j+1)%m, (i-1+m)%m
		size = m - size
	}
	t.work += size/2 + 10
	for range size / 2 {
		a, b := t.at[i], t.at[j]
		t.at[i], t.at[j] = b, a
		t.pos[b], t.pos[a] = i, j
		if i++; i == m {
			i = 0
		}
		if j--; j < 0 {
			j = m - 1
		}
	}
}

// reverseSegment reverses a segment of the given size, named by its end nodes, in either
// direction.
func (t *tour) reverseSegment(first, last, size int) {
	m := len(t.at)
	i, j := t.pos[first], t.pos[last]
	if (j-i+m)%m+1 != size {
		i, j = j, i
	}
	t.reverse(i, j)
}

// undo reverts reversals until only keep of them remain.
func (t *tour) undo(keep int) {
	for len(t.log) > keep {
		last := t.log[len(t.log)-1]
		t.reverse(last[0], last[1])
		t.log = t.log[:len(t.log)-2]
	}
}

// breadth is how many next holes are tried at each depth of a chain of exchanges; its
// length is the maximum depth.
var breadth = [...]int{6, 4, 3, 2, 1, 1}

// A chain is one search for a set of steps to exchange. Each exchange removes a step
// after the hole base and a second one that follows from it, so the tour stays a cycle
// after every exchange.
type chain struct {
	*tour
	near [][]int
	base int
	gain cost // of the exchanges made, once a gain is found
}

// improve searches for exchanges around a node that make the tour cheaper and returns
// the saving.
func (t *tour) improve(near [][]int, base int) (cost, bool) {
	for _, next := range [2]int{t.after(base), t.before(base)} {
		c := chain{tour: t, near: near, base: base}
		if c.deepen(next, t.grid.of(base, next), 0) {
			return c.gain, true
		}
	}
	return cost{}, false
}

// deepen adds a step from the open end and removes the step that becomes surplus. won
// is the cost of the removed steps less that of the added ones.
func (c *chain) deepen(open int, won cost, depth int) bool {
	tried := 0
	forward := c.after(c.base) == open // reverse may have reversed the rest instead
	for _, to := range c.near[open] {
		left := won.minus(c.grid.of(open, to))
		if !(cost{}).less(left) || tried == breadth[depth] {
			return false
		}
		last := c.before(to)
		if !forward {
			last = c.after(to)
		}
		if to == c.base || last == open {
			continue
		}
		tried++
		mark := len(c.log)
		if forward {
			c.reverse(c.pos[open], c.pos[last])
		} else {
			c.reverse(c.pos[last], c.pos[open])
		}
		left = left.plus(c.grid.of(last, to))
		if all := left.minus(c.grid.of(last, c.base)); (cost{}).less(all) {
			c.gain = all
			return true
		}
		if depth+1 < len(breadth) && c.deepen(last, left, depth+1) {
			return true
		}
		c.undo(mark)
	}
	return false
}
