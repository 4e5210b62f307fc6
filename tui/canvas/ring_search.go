package canvas

import (
	"math"
)

// A ringSearch finds the places of the pixels of one ring. Places are columns and lines from
// its middle, shape is the height of a line in columns.
type ringSearch struct {
	shape float64
	may   [][]ringPlace
	far   [farCols][farLines]float64 // distances of places, in columns
	step  int                        // columns between neighbours in one line; 0 for any
	pair  bool                       // the last pixel and its image are the two at the bottom
	known map[ringAsked]laidRing     // in any search of the prop
	own   map[ringAsked]laidRing     // in this one, some with places left free
	radii int                        // how many of radii are tried

	grid      grid
	taken     []bool  // places with a pixel
	close     []bool  // places too close to an earlier ring
	apart     bool    // leaves those free
	spacing   float64 // of rings, in metres
	col, line int     // of the middle of the ring that is laid
}

// A place is at most so many columns and lines from that of the pixel before.
const farCols, farLines = 32, 24

// A ringAsked names a ring that was laid: its first directions, its pixels, its radius in steps of
// radiusStep, and the lines in a cell.
type ringAsked struct {
	first, second   spotAt
	pixels, perCell int
	radius          int
}

// radiusStep is the step of radii that are tried, in columns.
const radiusStep = 0.25

// A laidRing is what walk returns.
type laidRing struct {
	at     []spotAt
	uneven float64
}

func newRingSearch(g grid, known map[ringAsked]laidRing) *ringSearch {
	shape := g.shape()
	s := &ringSearch{shape: shape, known: known, own: map[ringAsked]laidRing{}, radii: len(radii), grid: g, taken: make([]bool, g.cols*g.lines), close: make([]bool, g.cols*g.lines)}
	for x := range s.far {
		for y := range s.far[x] {
			s.far[x][y] = math.Hypot(float64(x), float64(y)*shape)
		}
	}
	return s
}

// A ringPlace is a place that a pixel may have, how far it is off the ring, what it costs, and
// the least cost of the way there, from the place with the index from of the pixel before.
type ringPlace struct {
	x, y      int
	off, cost float64
	sum       float64
	from      int
}

// radii are what is added to the radius of a ring, in columns, to find even gaps: too little
// to be seen. Of the first fewRadii, rings that are as far apart as one another look so.
var radii = []int{0, 1, -1, 2, -2, 3, -3, 4, -4} // radius steps

const fewRadii = 5

// lay chooses the places of a ring of some radius, in columns, and says how uneven its gaps
// are: their ratio, and more where a pixel lies off the ring.
func (s *ringSearch) lay(to []spotAt, radius float64) (best []spotAt, uneven float64) {
	uneven = math.Inf(1)
	steps := int(math.Round(radius / radiusStep))
	for _, more := range radii[:s.radii] {
		laid := s.laid(ringAsked{to[0], to[1], len(to), s.grid.perCell, steps + more}, to)
		if laid.uneven < uneven-1e-9 {
			best, uneven = laid.at, laid.uneven
		}
		if uneven <= smoothGaps {
			break
		}
	}
	return best, uneven
}

// laid is a ring as it was laid before, or is laid now. One that leaves places free is laid anew each time.
func (s *ringSearch) laid(k ringAsked, to []spotAt) laidRing {
	laid, ok := s.own[k]
	if !ok && !s.apart {
		laid, ok = s.known[k]
	}
	switch {
	case s.apart:
		laid = s.inStep(to, float64(k.radius)*radiusStep)
		s.own[k] = laid
	case !ok:
		laid = s.inStep(to, float64(k.radius)*radiusStep)
		s.known[k] = laid
	}
	return laid
}

// inStep is lay for one radius. Neighbours in one line are all as far apart as one another, the
// nearest whole number of columns to their gap or the next nearest: else the top and the bottom
// of the ring look dented.
func (s *ringSearch) inStep(to []spotAt, radius float64) (best laidRing) {
	gap := 2 * radius * math.Sin(math.Pi/float64(len(to)))
	if best.uneven = math.Inf(1); gap < leastGap*s.shape {
		return best
	}
	near := math.Round(gap)
	next := near + 1
	if gap < near {
		next = near - 1
	}
	for _, step := range []float64{near, next, 0} {
		if s.step = int(step); step != 0 || best.uneven >= roughGaps { // at last any
			if at, uneven := s.walk(to, radius); uneven < best.uneven {
				best = laidRing{at, uneven}
			}
		}
		if best.uneven <= smoothGaps {
			break
		}
	}
	return best
}

// leastGap is the mean gap, in lines, below which a ring has no even gaps: those at its sides are
// a line or more.
const leastGap = 0.8

// walk is lay for one radius. A ring with a pixel at its top is laid by halves or quarters,
// so that it is symmetrical.
func (s *ringSearch) walk(to []spotAt, radius float64) ([]spotAt, float64) {
	n, top := len(to), topOf(to)
	last := n / 2
	switch {
	case top < 0:
		top, last = 0, n-1
	case n%4 == 0:
		last = n / 4
	}
	for len(s.may) <= last {
		s.may = append(s.may, nil)
	}
	s.may = s.may[:last+1]
	for k := range s.may {
		d := to[(top+k)%n]
		if last <= n/2 {
			d.x = math.Abs(d.x) // the half on the right
		}
		s.may[k] = s.places(s.may[k][:0], d, radius)
	}
	s.pair = n%2 == 1 && top >= 0
	end := s.cheapest(2 * radius * math.Sin(math.Pi/float64(n)))
	if end < 0 {
		return nil, math.Inf(1)
	}
	way, off := s.back(end)
	out := make([]spotAt, n)
	for k := range out {
		at := k
		if last <= n/2 {
			at = min(k, n-k)
		}
		p := way[min(at, last)]
		if at > last && last < n/2 { // the lower half
			p = spotAt{way[n/2-at].x, -way[n/2-at].y}
		}
		if to[(top+k)%n].x < 0 && last <= n/2 {
			p.x = -p.x
		}
		out[(top+k)%n] = p
	}
	return out, s.unevenness(out) + max(0, off-offRing)
}

// topOf is the index of the pixel at the top of a ring, -1 for none.
func topOf(to []spotAt) int {
	for k, d := range to {
		if d.y < 0 && math.Abs(d.x) < axis {
			return k
		}
	}
	return -1
}

// places appends the cells near the place of a pixel in direction d that lie on the ring. A
// pixel on an axis of the ring stays there.
func (s *ringSearch) places(out []ringPlace, d spotAt, radius float64) []ringPlace {
	const (
		reach     = 2.75 // columns
		offCost   = 0.5  // of the squared distance from the ring
		alongCost = 0.02 // of the squared distance along it
	)
	want := spotAt{d.x * radius, d.y * radius}
	fromX, toX := onAxis(d.x, math.Ceil(want.x-reach), math.Floor(want.x+reach))
	fromY, toY := onAxis(d.y, math.Ceil((want.y-reach)/s.shape), math.Floor((want.y+reach)/s.shape))
	for x := fromX; x <= toX; x++ {
		for y := fromY; y <= toY; y++ {
			at := spotAt{x, y * s.shape}
			off := math.Abs(math.Sqrt(at.x*at.x+at.y*at.y) - radius)
			dx, dy := at.x-want.x, at.y-want.y
			if far := dx*dx + dy*dy; off <= mostOff && far <= reach*reach && !(s.apart && s.tooClose(int(x), int(y))) {
				out = append(out, ringPlace{x: int(x), y: int(y), off: off, cost: (offCost-alongCost)*off*off + alongCost*far})
			}
		}
	}
	return out
}

// onAxis is a range of places; 0 alone where a direction has no part across an axis.
func onAxis(across, from, to float64) (float64, float64) {
	if math.Abs(across) < axis {
		return 0, 0
	}
	return from, to
}

// axis is the part of a direction across an axis of the ring below which a pixel is on it.
const axis = 1e-3

// cheapest sums the costs along the ring, of places and of gaps that differ from gap, and
// returns the index of the best place of the last pixel; -1 if a pixel has none.
func (s *ringSearch) cheapest(gap float64) int {
	for k := range s.may {
		for i := range s.may[k] {
			s.lead(k, i, gap)
		}
	}
	best := -1
	for i, p := range s.may[len(s.may)-1] {
		if (p.from >= 0 || len(s.may) == 1) && (best < 0 || p.sum < s.may[len(s.may)-1][best].sum) {
			best = i
		}
	}
	return best
}

// touching is what a gap without a free cell costs.
const touching = 9

// lead sums the costs up to place i of pixel k, over the place of the pixel before it from
// which that is least.
func (s *ringSearch) lead(k, i int, gap float64) {
	p := &s.may[k][i]
	if p.sum, p.from = p.cost, -1; k == 0 {
		return
	}
	least := math.Inf(1)
	for j := range s.may[k-1] {
		q := &s.may[k-1][j]
		if p.y == q.y && !s.inLine(p.x, q.x, k) {
			continue
		}
		d := s.far[min(abs(p.x-q.x), farCols-1)][min(abs(p.y-q.y), farLines-1)]
		cost := q.sum + (d-gap)*(d-gap)
		if d < 2 {
			cost += touching
		}
		if cost < least {
			least, p.from = cost, j
		}
	}
	p.sum += least
}

// inLine reports whether pixel k may lie beside the one before it in one line, at columns.
func (s *ringSearch) inLine(col, before, k int) bool {
	apart := abs(col - before)
	if s.pair && k == len(s.may)-1 && apart != 2*col {
		return false
	}
	return s.step == 0 || apart == s.step
}

// back are the places on the cheapest way to a place of the last pixel, and the largest
// distance of one from the ring.
func (s *ringSearch) back(end int) (way []spotAt, off float64) {
	way = make([]spotAt, len(s.may))
	for k := len(s.may) - 1; k >= 0; k-- {
		p := s.may[k][end]
		way[k], off, end = spotAt{float64(p.x), float64(p.y)}, max(off, p.off), p.from
	}
	return way, off
}

// unevenness is the ratio of the longest to the shortest gap of a ring.
func (s *ringSearch) unevenness(at []spotAt) float64 {
	least, most := math.Inf(1), 0.0
	for k := range at {
		d := at[(k+1)%len(at)].minus(at[k])
		l := math.Hypot(d.x, d.y*s.shape)
		least, most = min(least, l), max(most, l)
	}
	return most / max(least, 1e-9)
}

// cell is the index of a place of the ring that is laid; -1 outside.
func (s *ringSearch) cell(x, y int) int {
	x, y = x+s.col, y+s.line
	if x < 0 || y < 0 || x >= s.grid.cols || y >= s.grid.lines {
		return -1
	}
	return y*s.grid.cols + x
}

// tooClose reports whether a place is too close to an earlier ring.
func (s *ringSearch) tooClose(x, y int) bool {
	cell := s.cell(x, y)
	return cell >= 0 && s.close[cell]
}

// keepClear notes the places that are too close to a ring for pixels of the next ones.
func (s *ringSearch) keepClear(at []spotAt, by float64) {
	for _, p := range at {
		for k := range 25 { // the cells up to two columns and two lines away
			dx, dy := k%5-2, k/5-2
			if cell := s.cell(int(p.x)+dx, int(p.y)+dy); cell >= 0 && s.far[abs(dx)][abs(dy)] < by {
				s.close[cell] = true
			}
		}
	}
}
