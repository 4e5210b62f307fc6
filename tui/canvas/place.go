package canvas

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
	"example.org/ringout/tui/style"
)

// layShape puts each pixel where the drawing has it, as large as the room allows and in a
// cell of its own. Where cells are too few and there are colours, a pixel has half a cell,
// which is about as high as it is wide.
func (c *Canvas) layShape(p *prop.Prop, width, height int) {
	c.rows = make([]row, max(1, height))
	for i := range c.rows {
		c.rows[i].width = width
	}
	if width < 1 || height < 1 {
		return
	}
	pts := prop.Layout(c.as(p))
	side, above := margins(width, height)
	best := fitted(pts, grid{odd(width), odd(height), 1, side, above})
	if (best.hidden > 0 || best.rough) && above > 0 { // its signs of the way have room inside
		best = better(best, fitted(pts, grid{odd(width), odd(height), 1, side, 0}))
	}
	if best.hidden > 0 && c.depth != style.Letters {
		best = better(best, fitted(pts, grid{odd(width), odd(2 * height), 2, side, 2 * above}))
	}
	c.fine = best.by.perCell == 2
	i, laid := int32(0), make([][]spotAt, len(pts))
	for r, run := range best.at {
		for _, on := range run {
			half := int(on.y)
			if !c.fine {
				half *= 2
			}
			c.put(i, int(on.x), half)
			laid[r] = append(laid[r], on.seen(best.by))
			i++
		}
	}
	c.sort()
	c.layWay(laid)
}

// as is the prop with the counts of this canvas.
func (c *Canvas) as(p *prop.Prop) *prop.Prop {
	q := *p
	q.Runs = slices.Clone(p.Runs)
	for i := range q.Runs {
		if i < len(c.counts) {
			q.Runs[i].Pixels = c.counts[i]
		}
	}
	return &q
}

// put adds a pixel at a column and a half row.
func (c *Canvas) put(i int32, col, half int) {
	r := &c.rows[half/2]
	at := slices.IndexFunc(r.spots, func(s spot) bool { return s.col == col })
	if at < 0 {
		r.spots = append(r.spots, spot{col: col})
		at = len(r.spots) - 1
	}
	s := &r.spots[at]
	if half%2 == 0 || c.depth == style.Letters {
		s.up = append(s.up, i)
	} else {
		s.low = append(s.low, i)
	}
}

func (c *Canvas) sort() {
	for i := range c.rows {
		sorting.By(c.rows[i].spots, func(a, b spot) int { return a.col - b.col })
	}
}

// layRows puts pixels side by side in groups of ten, or fewer where arrowheads need more
// gaps. When they do not fit, a mark covers several.
func (c *Canvas) layRows(width, height int) {
	label := len(fmt.Sprint(len(c.flat))) + 1
	each := perRow(width - label)
	for c.rowsNeeded(each) > height && c.per < len(c.flat) {
		c.per++
	}
	if each > ten && each == width-label+1-each/ten && c.endsFull(each) && c.rowsNeeded(each-ten) <= height {
		each -= ten // leaves the column of the last arrowhead
	}
	all, first := c.grouped(0, len(c.counts), each, width-label-1), 0
	for run, n := range c.counts {
		if c.group = all; c.headsIn(run, each) < MinHeads {
			c.group = c.grouped(run, run+1, each, width-label-1)
		}
		for at := 0; at < n; at += each * c.per {
			r := row{label: fmt.Sprintf("%*d", label-1, first+at+1), width: width}
			c.fillRow(&r, label, first+at, min(n-at, each*c.per))
			c.rows = append(c.rows, r)
		}
		if n > 0 {
			c.rows[len(c.rows)-1].ends = true
		}
		c.showEnds(first, n, (n+each*c.per-1)/(each*c.per))
		c.layRowWay(run, first, (n+each*c.per-1)/(each*c.per), label)
		first += n
	}
	c.heads = c.inOrder()
	c.spread(height)
	for len(c.rows) < height {
		c.rows = append(c.rows, row{label: strings.Repeat(" ", label), width: width})
	}
	c.rows = c.rows[:max(0, height)]
}

// ten is the number of marks in a group of a row.
const ten = 10

// marksOf is the number of marks of a run of n pixels.
func (c *Canvas) marksOf(n int) int { return (n + c.per - 1) / c.per }

// endsFull reports whether the last row of a run is full, of each marks.
func (c *Canvas) endsFull(each int) bool {
	return slices.ContainsFunc(c.counts, func(n int) bool { return n > 0 && c.marksOf(n)%each == 0 })
}

// grouped is the number of marks in a group of some runs: ten, or five or fewer if each run
// then has room for its arrowheads, in rows of each marks and width cells. Marks of one
// pixel are in tens or fives, so that people can count them.
func (c *Canvas) grouped(from, to, each, width int) int {
	groups := []int{ten, ten / 2}
	if c.per > 1 {
		groups = []int{ten, ten / 2, 4, 3}
	}
	best, most := ten, -1
	for _, c.group = range groups {
		least := MinHeads
		for run := from; run < to; run++ {
			if marks := min(each, c.marksOf(c.counts[run])); c.group != ten && marks+(marks-1)/c.group > width {
				least = -1
			}
			least = min(least, c.headsIn(run, each))
		}
		if least > most {
			best, most = c.group, least
		}
	}
	return best
}

// headsIn is the number of arrowheads of a run in rows of each marks, at most MinHeads; a
// short run needs none.
func (c *Canvas) headsIn(run, each int) int {
	if c.counts[run] <= shortRun {
		return MinHeads
	}
	marks := c.marksOf(c.counts[run])
	heads := 1 + marks/each*((each-1)/c.group) + max(0, marks%each-1)/c.group // one after the last pixel
	if run > 0 {
		heads++ // before the first one
	}
	return min(heads, MinHeads)
}

// mostTall is the largest number of lines of a row of pixels.
const mostTall = 3

// spread uses free height: first for empty lines after each run, so that the rows of one
// run are seen as one, then for empty lines after each row, then for pixels as bars of two
// or three lines. Letters stay one line high: two of them would count as two pixels.
func (c *Canvas) spread(height int) {
	tall, between, after := c.spacing(height + 1) // no empty line is needed after the last
	c.bars = tall > 1 && c.depth != style.Letters
	var out []row
	for _, r := range c.rows {
		blank := row{label: strings.Repeat(" ", len(r.label)), width: r.width}
		out = append(out, r)
		for range tall - 1 {
			below := blank
			if c.bars {
				below.spots, below.below = slices.Clone(r.spots), true
			}
			out = append(out, below)
		}
		empty := between
		if r.ends {
			empty = after
		}
		for range empty {
			out = append(out, blank)
		}
	}
	c.rows = out
}

// spacing is the number of lines of a row of pixels, and of empty lines after a row and
// after the last row of a run, with which all fits in so many lines.
func (c *Canvas) spacing(lines int) (tall, between, after int) {
	rows, runs := len(c.rows), 0
	for _, r := range c.rows {
		if r.ends {
			runs++
		}
	}
	if runs == 0 {
		return 1, 0, 0
	}
	tall = min(mostTall, max(1, (lines-runs)/max(1, rows)-1))
	if runs == rows {
		tall = min(mostTall, max(1, lines/rows-1))
	}
	if tall > 1 && runs < rows {
		between = 1 // so that the bars of two rows are not seen as one
	}
	after = (lines - tall*rows - between*(rows-runs)) / runs
	if tall == 1 && runs < rows {
		after-- // the page needs some of the free lines
	}
	return tall, between, max(0, min(2, after))
}

// fillRow puts n pixels from first on into a row, in tens or fives after its label.
func (c *Canvas) fillRow(r *row, label, first, n int) {
	for i := range n {
		mark := i / c.per
		col := label + mark + mark/c.group
		if len(r.spots) == 0 || r.spots[len(r.spots)-1].col != col {
			r.spots = append(r.spots, spot{col: col})
		}
		s := &r.spots[len(r.spots)-1]
		s.up = append(s.up, int32(first+i))
	}
}

// showEnds makes the marks of the first and the last of n pixels show these pixels if they
// are lit, in the last rows: questions ask for them, and a mark of several pixels would
// show the brightest.
func (c *Canvas) showEnds(first, n, rows int) {
	if c.per == 1 || n == 0 {
		return
	}
	mine := c.rows[len(c.rows)-rows:]
	last := mine[rows-1].spots
	last[len(last)-1].end = []int32{int32(first + n - 1)}
	mine[0].spots[0].end = []int32{int32(first)}
}

// layRowWay adds the arrowheads of a run in the last rows: before its first pixel, in the
// gaps between groups, and after its last pixel.
func (c *Canvas) layRowWay(run, first, rows, label int) {
	mine := c.rows[len(c.rows)-rows:]
	n := 0
	add := func(r *row, m mark) {
		if m.col < r.width {
			m.head |= run << 16
			if m.head != entry {
				n++
			}
			r.marks = append(r.marks, m)
		}
	}
	for i := range mine {
		r := &mine[i]
		switch {
		case i == 0 && first == 0:
			add(r, mark{label - 1, "▶", entry})
		case i == 0:
			add(r, mark{label - 1, "›", 0})
		}
		last := label - 1
		for _, s := range r.spots {
			if s.col > last+1 {
				add(r, mark{s.col - 1, "›", n + 1})
			}
			last = s.col
		}
		if i == len(mine)-1 {
			for k := 1; k == 1 || n < MinHeads && k < MinHeads+2; k++ {
				add(r, mark{last + k, "›", n + 1})
			}
		}
	}
}

// perRow is the number of marks that fit into width, with a gap after each ten.
func perRow(width int) int {
	if width < ten {
		return max(1, width)
	}
	return (width + 1) / (ten + 1) * ten
}

func (c *Canvas) rowsNeeded(each int) int {
	sum := 0
	for _, n := range c.counts {
		sum += (n + each*c.per - 1) / (each * c.per)
	}
	return sum
}
