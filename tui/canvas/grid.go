package canvas

import (
	"cmp"
	"math"
	"slices"

	"example.org/ringout/internal/prop"
)

// A grid is the places that a drawing as it lies has for pixels. Coordinates of a spotAt on
// it are whole columns and lines, from 0.
type grid struct {
	cols, lines int
	perCell     int // lines in a cell
	side, above int // columns and lines left free around the drawing
}

// shape is how many columns wide a line is high: a cell is two columns high.
func (g grid) shape() float64 { return 2 / float64(g.perCell) }

// seen is a place as it looks: columns, and rows counted in columns from the upper half of
// the first cell on.
func (s spotAt) seen(g grid) spotAt {
	if g.perCell == 1 {
		return spotAt{s.x, 2*s.y + 0.5}
	}
	return s
}

// odd is n or one less: with a place in the middle, both sides of a drawing are alike.
func odd(n int) int { return max(1, n-1+n%2) }

// A fit is where the pixels of all runs lie on a grid, and how many share their place with
// one before them.
type fit struct {
	by     grid
	at     [][]spotAt
	hidden int
}

// better is the one of two fits that hides fewer pixels, the first where both hide as many.
func better(a, b fit) fit {
	if b.hidden < a.hidden {
		return b
	}
	return a
}

// fitted lays pixels out on a grid.
func fitted(pts [][]prop.Point, g grid) fit {
	lo, hi := prop.Bounds(pts...)
	scale := math.Inf(1) // columns a metre
	if dx := hi.X - lo.X; dx > 0 {
		scale = min(scale, float64(g.cols-1-2*g.side)/dx)
	}
	if dy := hi.Y - lo.Y; dy > 0 {
		scale = min(scale, g.shape()*float64(g.lines-1-2*g.above)/dy)
	}
	if math.IsInf(scale, 1) {
		scale = 0 // a single pixel, or all in one place
	}
	scale = evenly(pts, max(0, scale), g)
	down := scale / g.shape() // lines a metre
	if high := hi.Y - lo.Y; high > 0 && hi.X-lo.X > flat*high && straight(pts) {
		down = min(mostStretch*down, max(down, float64(g.lines-1-2*g.above)/high))
		down = evenLines(pts, down, scale/g.shape())
	}
	mid := spotAt{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2}
	out := fit{by: g, at: make([][]spotAt, len(pts))}
	ideal := make([][]spotAt, len(pts))
	for r, run := range pts {
		for _, pt := range run {
			ideal[r] = append(ideal[r], spotAt{float64(g.cols-1)/2 + (pt.X-mid.x)*scale, float64(g.lines-1)/2 - (pt.Y-mid.y)*down})
		}
		evenSides(ideal[r], g)
		for k, at := range ideal[r] {
			on := spotAt{float64(within(at.x, g.cols)), float64(within(at.y, g.lines))}
			if k > 1 {
				on = inStep(ideal[r][k-2:k+1], out.at[r][k-1], on)
			}
			out.at[r] = append(out.at[r], spotAt{min(on.x, float64(g.cols-1)), min(on.y, float64(g.lines-1))})
		}
	}
	out.hidden = settle(ideal, out.at, g)
	return out
}

// mostStretch is how much higher than it is wide a prop without bends may be drawn: a flat
// one has then more places for its pixels.
const mostStretch = 2

// flat is how much wider than high it is then.
const flat = 2.5

// straight reports whether no run has a bend, corners aside.
func straight(pts [][]prop.Point) bool {
	return !slices.ContainsFunc(strides(pts, grid{perCell: 1}), func(s stride) bool { return s.bent && s.pixels > mostCorners })
}

// mostCorners are as many changes of direction as a run without bends may have.
const mostCorners = 12

// evenLines is the largest number of lines a metre, up to most and no less than least, at
// which pixels of runs that go straight up or down are whole lines apart; most without these.
func evenLines(pts [][]prop.Point, most, least float64) float64 {
	for _, run := range pts {
		for i := 1; i < len(run); i++ {
			dx, dy := math.Abs(run[i].X-run[i-1].X), math.Abs(run[i].Y-run[i-1].Y)
			if whole := math.Floor(dy*most + 1e-9); dx < 1e-6*dy && whole >= 1 && whole/dy >= least {
				return whole / dy
			}
		}
	}
	return most
}

// A stride is how far apart pixels of a part of a run are in places, at a scale of 1.
type stride struct {
	length float64
	pixels int
	bent   bool
}

// evenly is the scale of the most pixels that are the same number of places apart all along
// their run, the largest of those up to most, so that no gap looks like a fault; most where
// there is none. Pixels of a bend are compared where it goes up or down.
func evenly(pts [][]prop.Point, most float64, g grid) float64 {
	const least = 0.5 // of most: a smaller drawing would waste the room
	all := strides(pts, g)
	best, fitting := most, 0
	try := func(scale float64) {
		n := 0
		for _, s := range all {
			if s.even(scale) {
				n += s.pixels
			}
		}
		if n > fitting || n == fitting && n > 0 && scale > best {
			best, fitting = scale, n
		}
	}
	for _, s := range all {
		for _, scale := range s.scales(most) {
			if scale >= least*most {
				try(scale)
			}
		}
	}
	return best
}

// mostSpread is the share of a step up or down, over whole places, that evenSides makes good.
const mostSpread = 0.3

// evenSides puts the pixels of a ring whole lines apart where it goes up and down, so that no
// line at its sides is empty: along the ring, closer than they are, until those above and
// below have caught up.
func evenSides(run []spotAt, g grid) {
	mid, radius, ok := ringOf(run, g)
	if !ok {
		return
	}
	stride := 0.0
	for k := 1; k < len(run); k++ {
		stride = max(stride, math.Abs(run[k].y-run[k-1].y))
	}
	whole := math.Floor(stride + 1e-9)
	const apart = 0.1 // the rings of a prop may differ by so much in their spacing
	if whole < 1 || stride > whole*(1+mostSpread+apart) {
		return
	}
	for _, side := range []float64{-1, 1} {
		from := nearestTo(run, spotAt{mid.x + side*radius.x, mid.y})
		line := float64(within(run[from].y, g.lines))
		for _, way := range []int{-1, 1} {
			for n := 1; n < len(run)/4; n++ {
				at := &run[(from+way*n+len(run))%len(run)]
				y := line + math.Copysign(whole*float64(n), at.y-line)
				if math.Abs(y-line) >= math.Abs(at.y-line) {
					break
				}
				off := (y - mid.y) / radius.y
				*at = spotAt{mid.x + side*radius.x*math.Sqrt(max(0, 1-off*off)), y}
			}
		}
	}
}

// ringOf is the middle of a ring and its radii in columns and lines.
func ringOf(run []spotAt, g grid) (mid, radius spotAt, ok bool) {
	if len(run) < 8 {
		return mid, radius, false
	}
	for _, p := range run {
		mid = mid.plus(p, 1/float64(len(run)))
	}
	const bulge = 0.01 // of the radius: shapes are laid out along short straight lines
	far := func(p spotAt) float64 { return math.Hypot(p.x-mid.x, (p.y-mid.y)*g.shape()) }
	r := far(run[0])
	for _, p := range run {
		if math.Abs(far(p)-r) > bulge*r {
			return mid, radius, false
		}
	}
	return mid, spotAt{r, r / g.shape()}, true
}

// nearestTo is the pixel of a run that is nearest to a place.
func nearestTo(run []spotAt, to spotAt) (best int) {
	for k := range run {
		if run[k].minus(to).length() < run[best].minus(to).length()-1e-9 {
			best = k
		}
	}
	return best
}

// little is the share of a step over whole places that is left out, pixel by pixel.
const little = 0.05

// A span is a range of numbers of places at which a stride looks even.
type span struct{ from, to float64 }

// spans are those of a stride up to a number of places: whole ones and little more, and round
// a bend as much more as evenSides makes good, or a little less than two or more.
func (s stride) spans(most float64) (out []span) {
	const less = 0.2
	for whole := 1.0; whole <= most+less; whole++ {
		switch {
		case !s.bent:
			out = append(out, span{whole, whole * (1 + little)})
		case whole == 1:
			out = append(out, span{whole, whole * (1 + mostSpread)})
		default:
			out = append(out, span{whole - less, whole * (1 + mostSpread)})
		}
	}
	return out
}

// scales are the largest scales up to most at which a stride looks even.
func (s stride) scales(most float64) (out []float64) {
	for _, sp := range s.spans(most * s.length) {
		switch {
		case sp.from > most*s.length*(1+1e-9):
		case s.bent:
			out = append(out, min(most, sp.to/s.length))
		default:
			out = append(out, sp.from/s.length)
		}
	}
	return out
}

// even reports whether a stride looks even at a scale.
func (s stride) even(scale float64) bool {
	places := s.length * scale
	return slices.ContainsFunc(s.spans(places), func(sp span) bool { return places >= sp.from-1e-9 && places <= sp.to+1e-9 })
}

// mostStrides are as many as are compared: a prop of more has no even drawing.
const mostStrides = 24

// strides are the strides of straight stretches and, one a run, of bends.
func strides(pts [][]prop.Point, g grid) (out []stride) {
	add := func(s stride) {
		at := slices.IndexFunc(out, func(o stride) bool { return o.bent == s.bent && math.Abs(o.length-s.length) < 1e-6*s.length })
		switch {
		case s.length <= 0:
		case at >= 0:
			out[at].pixels += s.pixels
		case len(out) < mostStrides:
			out = append(out, s)
		}
	}
	for _, run := range pts {
		bend := stride{bent: true}
		for i := 2; i < len(run); i++ {
			dx, dy := run[i].X-run[i-1].X, run[i].Y-run[i-1].Y
			up := math.Abs(dy) / g.shape()
			if turn := math.Hypot(dx-(run[i-1].X-run[i-2].X), dy-(run[i-1].Y-run[i-2].Y)); turn < 1e-6*math.Hypot(dx, dy) {
				add(stride{length: max(math.Abs(dx), up), pixels: 1})
				continue
			}
			bend.length, bend.pixels = max(bend.length, up), bend.pixels+1
		}
		add(bend)
	}
	return out
}

// inStep is where the last of three pixels goes, on being its nearest place: as far from
// before, the place of the second, as the two are apart, where the three lie in a line and
// a gap would come of little more than whole cells adding up.
func inStep(at []spotAt, before, on spotAt) spotAt {
	const astray = 1.25 // steps
	d, last := at[2].minus(at[1]), at[1].minus(at[0])
	if d.minus(last).length() > 1e-6*d.length() {
		return on
	}
	step := func(d, before, at, on float64) float64 {
		whole := math.Floor(math.Abs(d) + 1e-9)
		next := before + math.Copysign(whole, d)
		if whole < 1 || math.Abs(d)-whole > little*whole || math.Abs(next-at) > astray*whole {
			return on
		}
		return next
	}
	return spotAt{step(d.x, before.x, at[2].x, on.x), step(d.y, before.y, at[2].y, on.y)}
}

// margins are the columns and rows left free around a drawing for the signs of
// the way; small drawings have none to spare.
func margins(width, height int) (side, above int) {
	if width < 30 || height < 10 {
		return 0, 0
	}
	return 2, 1
}

// within is the nearest of n places. Halves go towards the middle on both sides, so
// that what is round stays so.
func within(v float64, n int) int {
	const noise = 1e-6
	at := math.Floor(v + 0.5 + noise)
	if v > float64(n-1)/2+noise {
		at = math.Ceil(v - 0.5 - noise)
	}
	return max(0, min(n-1, int(at)))
}

// settle moves pixels that share a place with another one to a free place beside, and pixels
// that touch one another in their line where most are further apart. It returns how many
// still share a place. Cheap moves come first; where a drawing is the same on both sides, both
// are treated alike.
func settle(ideal, on [][]spotAt, g grid) (hidden int) {
	s := settling{ideal: ideal, on: on, by: g, taken: map[spotAt]int{}, loose: closest(ideal, g) >= looseFrom}
	n := 0
	for r := range on {
		for k := range on[r] {
			s.taken[on[r][k]]++
			n++
		}
	}
	if crowded := n - len(s.taken); float64(crowded) <= crowd*float64(n) { // else there is no room to move
		s.mirror()
		for range 3 {
			s.pass()
		}
	}
	return n - len(s.taken)
}

// looseFrom is the distance in columns from which on pixels in a line have a column between.
const looseFrom = 1.75

// closest is the least distance of two pixels that follow one another, in columns.
func closest(ideal [][]spotAt, g grid) float64 {
	least := math.Inf(1)
	for _, run := range ideal {
		for k := 1; k < len(run); k++ {
			d := run[k].minus(run[k-1])
			least = min(least, math.Hypot(d.x, d.y*g.shape()))
		}
	}
	return least
}

// A settling is the work of settle: where pixels should be, where they are, and how many
// are in a place.
type settling struct {
	ideal, on [][]spotAt
	by        grid
	taken     map[spotAt]int
	loose     bool
	other     map[pixelOf]pixelOf // the pixel in the same place on the other side
}

// A pixelOf is a pixel of a run.
type pixelOf struct{ run, pixel int }

// mirror finds the pixels that lie alike on both sides of the middle column.
func (s *settling) mirror() {
	const fine = 256 // of a place
	key := func(at spotAt) [2]int { return [2]int{int(math.Round(at.x * fine)), int(math.Round(at.y * fine))} }
	at := map[[2]int]pixelOf{}
	s.each(func(p pixelOf) { at[key(s.ideal[p.run][p.pixel])] = p })
	s.other = map[pixelOf]pixelOf{}
	s.each(func(p pixelOf) {
		k := key(s.across(s.ideal[p.run][p.pixel]))
		for _, d := range [][2]int{{0, 0}, {1, 0}, {-1, 0}, {0, 1}, {0, -1}} { // rounding apart
			if o, ok := at[[2]int{k[0] + d[0], k[1] + d[1]}]; ok && o != p {
				s.other[p] = o
				return
			}
		}
	})
}

// each does something with every pixel.
func (s *settling) each(do func(pixelOf)) {
	for r := range s.on {
		for k := range s.on[r] {
			do(pixelOf{r, k})
		}
	}
}

// across is the same place on the other side of the middle column.
func (s *settling) across(at spotAt) spotAt { return spotAt{float64(s.by.cols-1) - at.x, at.y} }

// A move takes a pixel to a free place.
type move struct {
	of   pixelOf
	to   spotAt
	cost float64
}

// pass makes each move that is still needed and free, the cheapest first, on both sides.
func (s *settling) pass() {
	var moves []move
	s.each(func(p pixelOf) {
		if s.crowded(s.on[p.run][p.pixel]) {
			moves = append(moves, s.movesOf(p)...)
		}
	})
	slices.SortStableFunc(moves, func(a, b move) int { return cmp.Compare(a.cost, b.cost) })
	for _, m := range moves {
		if !s.crowded(s.on[m.of.run][m.of.pixel]) {
			continue
		}
		if o, ok := s.other[m.of]; !ok {
			s.try(m)
		} else if back := s.across(m.to); back != m.to {
			from := s.on[m.of.run][m.of.pixel]
			if s.try(m) && !s.try(move{of: o, to: back}) {
				s.put(m.of, from)
			}
		}
	}
}

// try moves a pixel where its new place is free and touches none.
func (s *settling) try(m move) bool {
	from := s.on[m.of.run][m.of.pixel]
	if s.taken[m.to] > 0 {
		return false
	}
	s.put(m.of, m.to)
	if s.loose && s.beside(m.to) {
		s.put(m.of, from)
		return false
	}
	return true
}

// put takes a pixel to a place.
func (s *settling) put(p pixelOf, to spotAt) {
	s.lift(s.on[p.run][p.pixel])
	s.taken[to]++
	s.on[p.run][p.pixel] = to
}

func (s *settling) lift(from spotAt) {
	if s.taken[from]--; s.taken[from] == 0 {
		delete(s.taken, from)
	}
}

// crowded reports whether a place has more than one pixel, or one that touches the next.
func (s *settling) crowded(at spotAt) bool { return s.taken[at] > 1 || s.loose && s.beside(at) }

// beside reports whether a place beside another in its line is taken.
func (s *settling) beside(at spotAt) bool {
	return s.taken[spotAt{at.x - 1, at.y}] > 0 || s.taken[spotAt{at.x + 1, at.y}] > 0
}

// movesOf are the free places round a pixel, and what it costs to take it there: the square
// of the distance in columns, to a millionth, so that both sides of a drawing cost the same.
func (s *settling) movesOf(p pixelOf) (out []move) {
	at, want := s.on[p.run][p.pixel], s.ideal[p.run][p.pixel]
	for _, d := range []spotAt{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
		to := at.plus(d, 1)
		off := spotAt{to.x - want.x, (to.y - want.y) * s.by.shape()}
		const far = 2.25 // columns
		if to.x < 0 || to.y < 0 || to.x >= float64(s.by.cols) || to.y >= float64(s.by.lines) || s.taken[to] > 0 || off.length() > far {
			continue
		}
		out = append(out, move{p, to, math.Round(1e6 * off.length() * off.length())})
	}
	return out
}
