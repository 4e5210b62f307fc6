package canvas

import (
	"cmp"
	"math"
	"slices"

	"example.org/ringout/internal/prop"
)

// The places of the pixels of a ring are chosen together, by dynamic programming along the
// ring: rounding each alone would make gaps that look like missing pixels.

// evenGaps is the largest ratio of the longest to the shortest gap on a ring that looks even,
// smoothGaps the one with which no evener ring of that size is sought. A ring with more than
// roughGaps is not drawn in cells.
const (
	smoothGaps = 1.5
	evenGaps   = 1.6
	roughGaps  = 2.0
)

// offRing is how far a pixel may lie from its ring and still look as if on it, and mostOff
// how far it may lie at all, in columns.
const (
	offRing = 0.75
	mostOff = 1.0
)

// leastRings is the share of the largest size down to which a size with even gaps is sought.
const leastRings = 0.75

// A ringShape is a ring of the prop: its middle and radius in metres, and the direction of each
// pixel from the middle, y down.
type ringShape struct {
	mid    prop.Point
	radius float64
	to     []spotAt
}

// ringShapes are the runs of a prop as rings; nil if one is no ring.
func ringShapes(pts [][]prop.Point) []ringShape {
	out := make([]ringShape, len(pts))
	for r, run := range pts {
		at := make([]spotAt, len(run))
		for k, p := range run {
			at[k] = spotAt{p.X, -p.Y}
		}
		mid, radius, ok := ringOf(at, grid{perCell: 2})
		if !ok || radius.x <= 0 {
			return nil
		}
		for k := range at {
			at[k] = at[k].minus(mid).unit()
		}
		out[r] = ringShape{prop.Point{X: mid.x, Y: -mid.y}, radius.x, at}
	}
	return out
}

// ringsFitted lays out a prop of rings on a grid, at the largest scale, in columns per metre
// up to most, at which all gaps are even; if there is none, at the scale with the evenest. lo
// and hi are the corners of the prop. ok is false where the grid is too coarse for rings.
func ringsFitted(all []ringShape, lo, hi prop.Point, g grid, most float64) (best fit, ok bool) {
	if len(all) == 0 {
		return best, false
	}
	widest := 0.0
	for _, h := range all {
		widest = max(widest, h.radius)
	}
	search := newRingSearch(g)
	search.spacing = spacing(all)
	mid := prop.Point{X: (lo.X + hi.X) / 2, Y: (lo.Y + hi.Y) / 2}
	if best, ok = search.largest(all, mid, most, widest); ok && best.near && !best.rough {
		search.apart = true
		if f, found := search.largest(all, mid, most, widest); found {
			best = better(best, f)
		}
	}
	if ok && skewed(all, best.at) {
		search.radii, search.apart = fewRadii, false
		if f, found := search.largest(all, mid, most, widest); found && !skewed(all, f.at) {
			return f, true
		}
	}
	return best, ok
}

// skewed reports whether rings around one middle have distances in their drawing that differ by
// more than mostSkew from those on the prop, in rows or in columns.
func skewed(all []ringShape, at [][]spotAt) bool {
	const mostSkew = 1.5
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(all[a].radius, all[b].radius) })
	low, high := spotAt{math.Inf(1), math.Inf(1)}, spotAt{}
	for i := 1; i < len(order); i++ {
		a, b := order[i-1], order[i]
		apart := all[b].radius - all[a].radius
		if apart <= 0 || math.Hypot(all[a].mid.X-all[b].mid.X, all[a].mid.Y-all[b].mid.Y) > apart/10 {
			continue
		}
		d := extent(at[b]).minus(extent(at[a]))
		low = spotAt{min(low.x, d.x/apart), min(low.y, d.y/apart)}
		high = spotAt{max(high.x, d.x/apart), max(high.y, d.y/apart)}
	}
	return high.x > mostSkew*low.x || high.y > mostSkew*low.y
}

// extent is how far a ring reaches in columns and in lines.
func extent(ring []spotAt) spotAt {
	low, high := ring[0], ring[0]
	for _, at := range ring {
		low = spotAt{min(low.x, at.x), min(low.y, at.y)}
		high = spotAt{max(high.x, at.x), max(high.y, at.y)}
	}
	return high.minus(low)
}

// largest lays out rings around the middle of a prop at the largest scale up to most, in columns
// per metre, at which all gaps are even, or else at the one with the evenest.
func (s *ringSearch) largest(all []ringShape, mid prop.Point, most, widest float64) (best fit, ok bool) {
	least := roughGaps + 1e-9
	for radius := math.Floor(most*widest + 1e-6); radius >= leastRings*most*widest; radius-- {
		f, uneven := s.layAll(all, mid, radius/widest, least)
		if uneven < least {
			best, least, ok = f, uneven, true
			best.rough = uneven > evenGaps
		}
		if least <= evenGaps {
			break
		}
	}
	return best, ok
}

// spacing is the least distance of two rings, in metres.
func spacing(all []ringShape) float64 {
	least := math.Inf(1)
	for i, a := range all {
		for _, b := range all[:i] {
			mids := math.Hypot(a.mid.X-b.mid.X, a.mid.Y-b.mid.Y)
			least = min(least, max(math.Abs(a.radius-b.radius)-mids, mids-a.radius-b.radius))
		}
	}
	return least
}

// nearBy is how far apart pixels of two runs are at least, in columns, where their rings are far
// enough apart: a free cell lies between them on the diagonal too. On rings that are closer it is
// the share nearShare of their distance.
const nearBy, nearShare = 2.5, 0.7

// layAll lays out rings at a scale, with the largest unevenness among them; infinite where
// that is not less than least, or pixels share a cell.
func (s *ringSearch) layAll(all []ringShape, mid prop.Point, scale, least float64) (out fit, uneven float64) {
	g := s.grid
	out = fit{by: g, at: make([][]spotAt, len(all))}
	clear(s.taken)
	clear(s.close)
	for r, h := range all {
		s.col = int(math.Round(float64(g.cols-1)/2 + (h.mid.X-mid.X)*scale))
		s.line = int(math.Round(float64(g.lines-1)/2 - (h.mid.Y-mid.Y)*scale/g.shape()))
		at, rough := s.lay(h.to, h.radius*scale)
		uneven = max(uneven, rough)
		if uneven >= least {
			return out, math.Inf(1)
		}
		for _, p := range at {
			cell := s.cell(int(p.x), int(p.y))
			if cell < 0 || s.taken[cell] {
				return out, math.Inf(1)
			}
			s.taken[cell] = true
			out.near = out.near || s.close[cell]
			out.at[r] = append(out.at[r], spotAt{p.x + float64(s.col), p.y + float64(s.line)})
		}
		s.keepClear(at, min(nearBy, nearShare*s.spacing*scale))
	}
	return out, uneven
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

// A ringSearch finds the places of the pixels of one ring. Places are columns and lines from
// its middle, shape is the height of a line in columns.
type ringSearch struct {
	shape float64
	may   [][]ringPlace
	far   [farCols][farLines]float64 // distances of places, in columns
	step  int                        // columns between neighbours in one line; 0 for any
	pair  bool                       // the last pixel and its image are the two at the bottom
	known map[ringAsked]laidRing
	radii int // how many of radii are tried

	grid      grid
	taken     []bool  // places with a pixel
	close     []bool  // places too close to an earlier ring
	apart     bool    // leaves those free
	spacing   float64 // of rings, in metres
	col, line int     // of the middle of the ring that is laid
}

// A place is at most so many columns and lines from that of the pixel before.
const farCols, farLines = 32, 24

// A ringAsked names a ring that was laid: its first direction, its pixels and its
// radius in steps of radiusStep.
type ringAsked struct {
	first  spotAt
	pixels int
	radius int
}

// radiusStep is the step of radii that are tried, in columns.
const radiusStep = 0.25

// A laidRing is what walk returns.
type laidRing struct {
	at     []spotAt
	uneven float64
}

func newRingSearch(g grid) *ringSearch {
	shape := g.shape()
	s := &ringSearch{shape: shape, known: map[ringAsked]laidRing{}, radii: len(radii), grid: g, taken: make([]bool, g.cols*g.lines), close: make([]bool, g.cols*g.lines)}
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
		k := ringAsked{to[0], len(to), steps + more}
		laid, ok := s.known[k]
		if !ok || s.apart {
			laid = s.inStep(to, float64(steps+more)*radiusStep)
			s.known[k] = laid
		}
		if laid.uneven < uneven-1e-9 {
			best, uneven = laid.at, laid.uneven
		}
		if uneven <= smoothGaps {
			break
		}
	}
	return best, uneven
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
