package canvas

import (
	"cmp"
	"math"
	"slices"

	"example.org/ringout/tui/style"
)

// The way of the data is drawn beside the pixels: a triangle where data enters
// the prop, and arrowheads along every run. They take free cells only, so no
// pixel is hidden by one.

// A mark is a sign in a cell that holds no pixel.
type mark struct {
	col  int
	text string
	head int // number of an arrowhead along the data, from 0; entry for the triangle
}

// entry is the head of the triangle where data enters.
const entry = -1

// The signs by direction, clockwise from the right.
var (
	arrows    = []string{"→", "↘", "↓", "↙", "←", "↖", "↑", "↗"}
	triangles = []string{"▶", "▼", "◀", "▲"}
)

// MinHeads is how many arrowheads a run gets at least, where there is room.
const MinHeads = 3

// apart is about how many pixels of a long run lie between two arrowheads.
const apart = 16

// A spotAt is where a pixel lies: columns, and rows counted in columns (a row is
// two columns high), so that angles are as seen.
type spotAt struct{ x, y float64 }

func (a spotAt) minus(b spotAt) spotAt { return spotAt{a.x - b.x, a.y - b.y} }
func (a spotAt) plus(b spotAt, by float64) spotAt {
	return spotAt{a.x + by*b.x, a.y + by*b.y}
}
func (a spotAt) length() float64 { return math.Hypot(a.x, a.y) }

// unit is the direction of a, zero when it has none.
func (a spotAt) unit() spotAt {
	if l := a.length(); l > 0 {
		return spotAt{a.x / l, a.y / l}
	}
	return spotAt{}
}

// cell is the column and the row of a place.
func (a spotAt) cell() (col, row int) {
	return int(math.Round(a.x)), int(math.Round(a.y/2 - 0.25))
}

// sector is which of n directions a points to, 0 being right, clockwise.
func (a spotAt) sector(n int) int {
	turn := math.Atan2(a.y, a.x) / (2 * math.Pi) * float64(n)
	return ((int(math.Round(turn)) % n) + n) % n
}

// layWay adds the marks of a drawing whose pixels lie at runs.
func (c *Canvas) layWay(runs [][]spotAt) {
	for r, run := range runs {
		if len(run) == 0 {
			continue
		}
		if c.first(runs, r) {
			c.layEntry(runs, r)
		}
		if len(run) < 2 {
			continue
		}
		n := max(MinHeads, len(run)/apart)
		for k := range n {
			c.layHead(runs, r, (2*k+1)*len(run)/(2*n), len(run)/(2*n))
		}
	}
	c.heads = c.inOrder()
}

// first reports whether run r is the one that data enters.
func (c *Canvas) first(runs [][]spotAt, r int) bool {
	return !slices.ContainsFunc(runs[:r], func(run []spotAt) bool { return len(run) > 0 })
}

// along is the direction of the data at pixel i of a run.
func along(run []spotAt, i int) spotAt {
	return run[min(i+1, len(run)-1)].minus(run[max(i-1, 0)]).unit()
}

// layEntry puts the triangle before the first pixel, or else beside it, without another
// pixel between if it can.
func (c *Canvas) layEntry(runs [][]spotAt, r int) {
	at, d := runs[r][0], along(runs[r], 0)
	if d == (spotAt{}) {
		d = spotAt{x: 1}
	}
	for _, over := range []bool{false, true} {
		for _, from := range []spotAt{{-d.x, -d.y}, {d.y, -d.x}, {-d.y, d.x}} {
			if col, row, ok := c.freeFrom(at, from, over); ok {
				c.rows[row].marks = append(c.rows[row].marks, mark{col, triangles[spotAt{-from.x, -from.y}.sector(4)], entry})
				return
			}
		}
	}
}

// freeFrom is the nearest free cell that lies from a pixel in a direction, up to three
// columns away; over says whether pixels between do not matter.
func (c *Canvas) freeFrom(at, from spotAt, over bool) (col, row int, ok bool) {
	ownCol, ownRow := at.cell()
	for _, far := range []float64{1, 1.5, 2, 2.5, 3} {
		col, row = at.plus(from, far).cell()
		switch {
		case c.free(col, row):
			return col, row, true
		case !over && (col != ownCol || row != ownRow) && c.lit(col, row):
			return col, row, false
		}
	}
	return col, row, false
}

// lit reports whether a cell of the drawing holds a pixel.
func (c *Canvas) lit(col, row int) bool {
	return row >= 0 && row < len(c.rows) && slices.ContainsFunc(c.rows[row].spots, func(s spot) bool { return s.col == col })
}

// layHead puts an arrowhead at the step after pixel i of run r, or after one up to reach pixels
// away: on the run between two pixels if there is a free cell, or else right beside it, and
// first where no arrowhead of another run is close.
func (c *Canvas) layHead(runs [][]spotAt, r, i, reach int) {
	for _, far := range []float64{onRun, mostBeside + 1} {
		if c.layNear(runs, r, i, reach, far, true) || c.layNear(runs, r, i, reach, far, false) {
			return
		}
	}
}

// layNear puts an arrowhead at the step of run r nearest to pixel i, up to reach pixels away,
// that layBeside can.
func (c *Canvas) layNear(runs [][]spotAt, r, i, reach int, far float64, alone bool) bool {
	for off := range 2*reach + 1 {
		at := i + (off+1)/2*(1-off%2*2) // i, i-1, i+1, i-2, ...
		if at >= 0 && at < len(runs[r])-1 && c.layBeside(runs, r, at, far, alone) {
			return true
		}
	}
	return false
}

// layBeside puts an arrowhead at the step from pixel at of run r to the next, in the free cell
// nearest to the middle of the step, up to far, that is nearer to r than to any other run.
func (c *Canvas) layBeside(runs [][]spotAt, r, at int, far float64, alone bool) bool {
	run := runs[r]
	a, b := run[at], run[at+1]
	d := run[min(at+2, len(run)-1)].minus(run[max(at-1, 0)]).unit() // of a step alone it is that of two cells
	if d == (spotAt{}) {
		return false
	}
	by := 0.0
	if alone {
		by = nearer
	}
	for _, to := range besideStep(a, b, func(to cellAt) bool { return to.far <= far && c.free(to.col, to.row) }) {
		if c.nearest(runs, r, to.col, to.row, by) && !(alone && c.othersClose(r, to.col, to.row)) {
			c.rows[to.row].marks = append(c.rows[to.row].marks, mark{to.col, arrows[d.sector(8)], r<<16 | at})
			return true
		}
	}
	return false
}

// othersClose reports whether an arrowhead of another run than r is so close to a cell
// that it could be mistaken for one of r.
func (c *Canvas) othersClose(r, col, row int) bool {
	for i := max(0, row-1); i < min(len(c.rows), row+2); i++ {
		if slices.ContainsFunc(c.rows[i].marks, func(m mark) bool { return m.head != entry && m.head>>16 != r && abs(m.col-col) < 5 }) {
			return true
		}
	}
	return false
}

// A cellAt is a cell and its distance from the middle of a step, in columns.
type cellAt struct {
	col, row int
	far      float64
}

// mostBeside is the largest distance of an arrowhead from its step, in columns: a row. Up to
// onRun from its middle it is on the run.
const (
	mostBeside = 2
	onRun      = 1.2
)

// besideStep are the cells that will do at a step from a pixel to the next, none further than mostBeside
// from the line between them, the nearest to its middle first, and of two the one on the right of the
// data: inside a ring that goes clockwise.
func besideStep(a, b spotAt, do func(cellAt) bool) (out []cellAt) {
	const left = 0.1 // what the left costs, in columns
	mid, d := spotAt{(a.x + b.x) / 2, (a.y + b.y) / 2}, b.minus(a)
	half, u := d.length()/2, d.unit()
	col, row := mid.cell()
	for y := row - 2; y <= row+2; y++ {
		for x := col - 3; x <= col+3; x++ {
			off := spotAt{float64(x), 2*float64(y) + 0.5}.minus(mid)
			along, across := off.x*u.x+off.y*u.y, off.y*u.x-off.x*u.y
			if math.Abs(along) > half || math.Abs(across) > mostBeside {
				continue
			}
			far := off.length()
			if across < 0 {
				far += left
			}
			if to := (cellAt{x, y, far}); do(to) {
				out = append(out, to)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b cellAt) int { return cmp.Compare(a.far, b.far) })
	return out
}

// free reports whether a cell of the drawing holds nothing.
func (c *Canvas) free(col, row int) bool {
	if row < 0 || row >= len(c.rows) || col < 0 || col >= c.rows[row].width {
		return false
	}
	r := &c.rows[row]
	_, lit := slices.BinarySearchFunc(r.spots, col, func(s spot, col int) int { return s.col - col })
	return !lit && !slices.ContainsFunc(r.marks, func(m mark) bool { return abs(m.col-col) < 2 })
}

// manyPixels is the number of pixels above which nearest would take too long.
const manyPixels = 3000

// nearer is by how much an arrowhead is nearer to its own run than to another where it can be, in
// columns.
const nearer = 1

// nearest reports whether r is the run nearest to a cell by so many columns, so that an arrowhead
// there is not taken for another run's.
func (c *Canvas) nearest(runs [][]spotAt, r, col, row int, by float64) bool {
	if len(c.flat) > manyPixels {
		return true
	}
	at := spotAt{float64(col), 2*float64(row) + 0.5}
	own, other := math.Inf(1), math.Inf(1)
	for k, run := range runs {
		for _, p := range run {
			if l := p.minus(at).length(); k == r {
				own = min(own, l)
			} else {
				other = min(other, l)
			}
		}
	}
	return own < other-1e-9 && own <= other-by+1e-9
}

// inOrder numbers the arrowheads along the data, run after run, and returns how
// many there are.
func (c *Canvas) inOrder() int {
	var all []*mark
	for i := range c.rows {
		for k := range c.rows[i].marks {
			if m := &c.rows[i].marks[k]; m.head != entry {
				all = append(all, m)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b *mark) int { return a.head - b.head })
	c.headsOf = make([]int, len(c.counts))
	for i, m := range all {
		c.headsOf[m.head>>16]++
		m.head = i
	}
	return len(all)
}

// SetPulse lights one arrowhead, counted along the data from any step; a
// negative step lights none. Only rows that change are written.
func (c *Canvas) SetPulse(step int) {
	now := -1
	if step >= 0 && c.heads > 0 {
		now = step % c.heads
	}
	if now == c.pulse {
		return
	}
	for i := range c.rows {
		for _, m := range c.rows[i].marks {
			if c.drawn && m.head >= 0 && (m.head == c.pulse || m.head == now) {
				c.rows[i].stale = true
			}
		}
	}
	c.pulse = now
	for i := range c.rows {
		if c.rows[i].stale {
			c.rows[i].stale, c.lines[i] = false, c.write(&c.rows[i])
		}
	}
}

// markInk is the ink of a mark on the mat.
func (c *Canvas) markInk(m mark) ink {
	switch m.head {
	case entry:
		return entryInk(c.depth)
	case c.pulse:
		return brassInk[c.depth]
	}
	if c.headOutside(m.head) {
		return darkInk[c.depth]
	}
	return wayInk[c.depth]
}

// EntrySign is the sign of where data enters as a drawing has it, of light or of signs, for
// its legend.
func EntrySign(sign string, lit bool, d style.Depth) string {
	switch {
	case lit:
		return onMat(sign, entryInk(d), d)
	case d == style.Letters:
		return sign
	}
	return bold + sign + plainAgain
}

// entryInk is the colour of where data enters: among sixteen, yellow is that of a yellow pixel.
func entryInk(d style.Depth) ink {
	if d == style.Sixteen {
		return wayInk[d]
	}
	return brassInk[d]
}

// Bold and its end (SGR, ECMA-48 8.3.117).
const bold, plainAgain = "\x1b[1m", "\x1b[0m"

// Inks of the way: seen on the mat (3:1 and more, WCAG 2.1 1.4.11), and not
// taken for light.
var (
	wayInk   = [4]ink{style.Sixteen: plain(37), style.Cube256: indexed(250), style.True: rgb(188, 188, 188)}
	brassInk = [4]ink{style.Sixteen: plain(93), style.Cube256: indexed(179), style.True: rgb(222, 170, 84)}
)

func abs(n int) int { return max(n, -n) }
