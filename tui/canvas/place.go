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
	c.layWay(c.place(c.bestFit(c.drafts.layoutFor(c, p), width, height)))
}

// place puts the pixels where a fit has them, and returns these places as seen.
func (c *Canvas) place(f fit) (seen [][]spotAt) {
	c.fine, c.moved = f.by.perCell == 2, f.moved
	i := int32(0)
	seen = make([][]spotAt, len(f.at))
	for r, run := range f.at {
		for _, on := range run {
			half := int(on.y)
			if !c.fine {
				half *= 2
			}
			c.put(i, int(on.x), half)
			seen[r] = append(seen[r], on.seen(f.by))
			i++
		}
	}
	c.sort()
	return seen
}

// bestFit lays out the pixels of each run with margins or, where these cost pixels their places, without.
func (c *Canvas) bestFit(l *layout, width, height int) fit {
	best := l.wholeCells(width, height)
	if best.hidden > 0 && c.depth != style.Letters && !c.whole {
		side, above := margins(width, height)
		best = better(best, l.on(grid{odd(width), odd(2 * height), 2, side, 2 * above}))
	}
	return best
}

// wholeCells is bestFit where each pixel has a cell.
func (l *layout) wholeCells(width, height int) fit {
	side, above := margins(width, height)
	best := l.on(grid{odd(width), odd(height), 1, side, above})
	if (best.hidden > 0 || best.rough) && above > 0 { // its signs of the way have room inside
		best = better(best, l.on(grid{odd(width), odd(height), 1, side, 0}))
	}
	if best.near && !best.rough && side > 1 { // runs need the columns at the sides more than signs do
		best = better(best, l.on(grid{odd(width), odd(height), 1, 1, 0}))
	}
	if !best.near && !best.rough && best.scale > 0 { // no rings
		best = wider(best, l.on(grid{odd(width), odd(height), 1, min(1, side), 0}))
		best = wider(best, l.tightOn(grid{odd(width), odd(height), 1, min(1, side), 0}))
	}
	return best
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
// gaps. When they do not fit, a mark covers several. All runs have the same groups. With fewer
// rows than runs, they flow.
func (c *Canvas) layRows(width, height int) {
	if c.runs() > height {
		c.layFlow(width, height)
		return
	}
	label := c.labelWide()
	each := c.arrange(width-label, height)
	first := 0
	for run, n := range c.counts {
		mine := c.eachOf(n, each)
		for at := 0; at < n; at += mine * c.per {
			r := row{label: fmt.Sprintf("%*d", label-1, first+at+1), width: width}
			c.fillRow(&r, label, first+at, min(n-at, mine*c.per))
			c.rows = append(c.rows, r)
		}
		if n > 0 {
			c.rows[len(c.rows)-1].ends = true
		}
		c.showEnds(first, n, c.rowsOf(n, each))
		c.layRowWay(run, first, c.rowsOf(n, each), label)
		first += n
	}
	c.heads = c.inOrder()
	c.spread(height)
	c.fillUp(label, width, height)
}

// labelWide is the width of the label of a row, a free column counted.
func (c *Canvas) labelWide() int { return len(fmt.Sprint(len(c.flat))) + 1 }

// fillUp makes the rows as many as the drawing has, the last ones empty.
func (c *Canvas) fillUp(label, width, height int) {
	for len(c.rows) < height {
		c.rows = append(c.rows, row{label: strings.Repeat(" ", label), width: width})
	}
	c.rows = c.rows[:max(0, height)]
}

// runs is the number of runs that have pixels.
func (c *Canvas) runs() (n int) {
	for _, pixels := range c.counts {
		n += min(1, pixels)
	}
	return n
}

// ten is the number of pixels in a group of a row.
const ten = 10

// scales are how many pixels a mark covers, and the marks in a group for each, the best first:
// ten pixels, or five where runs would have too few arrowheads. Of larger numbers ten marks are
// a group.
var scales = []struct {
	per    int
	groups []int
}{{1, []int{ten, ten / 2}}, {2, []int{ten / 2}}, {5, []int{2}}, {10, []int{ten, ten / 2}}}

// arrange chooses the pixels of a mark, the marks of a group and those of a row, the result, in
// so many columns and rows.
func (c *Canvas) arrange(cols, height int) (each int) {
	if c.wide(cols, height, &each) {
		return each
	}
	for _, s := range scales {
		if c.per = s.per; c.groupIn(s.groups, cols, height, &each) {
			return each
		}
	}
	for c.per += ten; !c.groupIn(scales[len(scales)-1].groups, cols, height, &each) && c.per < len(c.flat); {
		c.per += ten
	}
	return each
}

// wide chooses tens of pixels with a free column after each, as in a drawing as it lies, where all
// runs stand apart so and take no more rows than without.
func (c *Canvas) wide(cols, height int, each *int) bool {
	c.per, c.group, c.pitch = 1, ten, 2
	*each = (cols + 1) / (ten*c.pitch + 1) * ten
	fits := *each > 0 && c.apartIn(c.rowsNeeded(*each), height) && c.rowsNeeded(*each) <= c.rowsNeeded(perRow(cols, ten))
	for run := range c.counts {
		fits = fits && c.headsIn(run, *each) == MinHeads
	}
	if !fits {
		c.pitch = 1
	}
	return fits
}

// groupIn chooses one of some groups, the first that gives each run its arrowheads or the one
// that gives most, and the marks of a row. false is a drawing that is too high.
func (c *Canvas) groupIn(groups []int, cols, height int, each *int) bool {
	best, most, marks := groups[0], -1, perRow(cols, groups[0])
	for _, c.group = range groups {
		n := c.perRow(cols, height)
		least := MinHeads
		for run := range c.counts {
			least = min(least, c.headsIn(run, n))
		}
		if least > most && c.rowsNeeded(n) <= height {
			best, most, marks = c.group, least, n
		}
	}
	c.group, *each = best, marks
	return most >= 0
}

// perRow is the number of marks of a row: whole groups, and marks of a further one if the runs
// then need fewer rows.
func (c *Canvas) perRow(cols, height int) int {
	each := perRow(cols, c.group)
	part := (cols*c.group + c.group - 1) / (c.group + 1) // the column of the last arrowhead is free
	if part > each && c.rowsNeeded(part) < c.rowsNeeded(each) {
		return part
	}
	if each > c.group && each == cols+1-each/c.group && c.endsFull(each) && c.rowsNeeded(each-c.group) <= height {
		each -= c.group // leaves the column of the last arrowhead
	}
	return each
}

// eachOf is the number of marks in a row of a run of n pixels, where each fit: rows of one run
// are about as long, of whole groups.
func (c *Canvas) eachOf(n, each int) int {
	marks := c.marksOf(n)
	if marks <= each {
		return each
	}
	whole := max(1, each/c.group) * c.group
	if each < c.group {
		whole = each
	}
	rows := (marks + whole - 1) / whole
	return min(whole, ((marks+rows-1)/rows+c.group-1)/c.group*c.group)
}

// OneLength reports whether all rows but the last of each run have as many marks.
func (c *Canvas) OneLength() bool {
	longest := 0
	for i := range c.rows {
		longest = max(longest, len(c.rows[i].spots))
	}
	for i := range c.rows {
		if n := len(c.rows[i].spots); n > 0 && n < longest && !c.rows[i].ends {
			return false
		}
	}
	return true
}

// rowsOf is the number of rows of a run of n pixels.
func (c *Canvas) rowsOf(n, each int) int {
	mine := c.eachOf(n, each)
	return (c.marksOf(n) + mine - 1) / mine
}

// marksOf is the number of marks of a run of n pixels.
func (c *Canvas) marksOf(n int) int { return (n + c.per - 1) / c.per }

// endsFull reports whether the last row of a run is full, of each marks.
func (c *Canvas) endsFull(each int) bool {
	return slices.ContainsFunc(c.counts, func(n int) bool { return n > 0 && c.marksOf(n)%each == 0 })
}

// headsIn is the number of arrowheads of a run where a row has room for each marks, at most
// MinHeads; a short run needs none.
func (c *Canvas) headsIn(run, each int) int {
	if c.counts[run] <= shortRun {
		return MinHeads
	}
	marks, mine := c.marksOf(c.counts[run]), c.eachOf(c.counts[run], each)
	heads := 1 + marks/mine*((mine-1)/c.group) + max(0, marks%mine-1)/c.group // one after the last pixel
	if run > 0 {
		heads++ // before the first one
	}
	return min(heads, MinHeads)
}

// spread uses free height for an empty line after each run, if there is one for every run, so
// that the rows of one run are seen as one. What is left is below.
func (c *Canvas) spread(height int) {
	if !c.apartIn(len(c.rows), height) {
		return
	}
	var out []row
	for _, r := range c.rows {
		out = append(out, r)
		if r.ends {
			out = append(out, row{label: strings.Repeat(" ", len(r.label)), width: r.width})
		}
	}
	c.rows = out
}

// apartIn reports whether so many rows have an empty line between any two runs in so many lines.
func (c *Canvas) apartIn(rows, lines int) bool { return rows+c.runs()-1 <= lines }

// fillRow puts n pixels from first on into a row, in tens or fives after its label.
func (c *Canvas) fillRow(r *row, label, first, n int) {
	for i := range n {
		mark := i / c.per
		col := label + mark*c.pitch + mark/c.group
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
			if s.col > last+c.pitch {
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

// perRow is the number of marks that fit into width in whole groups, with a gap after each.
func perRow(width, group int) int {
	if width < group {
		return max(1, width)
	}
	return (width + 1) / (group + 1) * group
}

func (c *Canvas) rowsNeeded(each int) int {
	sum := 0
	for _, n := range c.counts {
		sum += c.rowsOf(n, each)
	}
	return sum
}
