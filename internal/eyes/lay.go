package eyes

import (
	"cmp"
	"math"
	"slices"

	"example.org/ringout/internal/parallel"
	"example.org/ringout/internal/sorting"
)

// A layout is the position of each planned place in the picture.
type layout struct {
	view    view
	at      []Point // of each place
	spot    []int   // the spot of each place, -1 for none
	agree   float64 // share of the spots, by weight, that lie on a place
	marked  float64 // largest distance of a mark from its place, in spacings
	spacing float64 // median distance of neighbours in a run, camera pixels
	off     float64 // root-mean-square distance of the spots from the homography, in spacings
	follows int     // number of neighbours in a run with continuing data
}

// A layer finds layouts of the plan over the spots.
type layer struct {
	plan    []Point
	starts  []int // first place of each run
	spots   []Point
	slot    []int     // of each spot, the slot that it reads for sure, -1 for none
	chip    int       // slots from one pixel to the next
	weight  []float64 // of each spot: its light, at most 1 (the middle spot)
	near    *grid
	marks   []Mark
	from    frame
	to      frame
	spacing float64 // camera pixels
}

func newLayer(s *Scene, spots []Point, spacing float64) *layer {
	l := &layer{plan: s.Places(), spots: spots, marks: s.Marks, spacing: spacing, near: gridOf(spots, max(spacing, 2))}
	for _, r := range s.Runs {
		last := 0
		if n := len(l.starts); n > 0 {
			last = l.starts[n-1] + len(s.Runs[n-1].Places)
		}
		l.starts = append(l.starts, last)
		_ = r
	}
	all := slices.Clone(spots)
	for _, m := range s.Marks {
		all = append(all, m.At)
	}
	l.from, l.to = frameOf(l.plan), frameOf(all)
	return l
}

// straight reports whether all places of the plan lie on one line.
func (l *layer) straight() bool {
	return straightness(l.plan) < 0.02
}

// straightness is the width of points across their longest direction, as a
// share of the length along it.
func straightness(points []Point) float64 {
	var m Point
	for _, p := range points {
		m = m.plus(p)
	}
	n := float64(len(points))
	m = Point{m.X / n, m.Y / n}
	var xx, xy, yy float64
	for _, p := range points {
		d := p.minus(m)
		xx, xy, yy = xx+d.X*d.X, xy+d.X*d.Y, yy+d.Y*d.Y
	}
	root := math.Hypot((xx-yy)/2, xy)
	long, short := (xx+yy)/2+root, (xx+yy)/2-root
	if long <= 0 {
		return 0
	}
	return math.Sqrt(max(short, 0) / long)
}

// lay fits every start view and returns the layouts, the best first, without
// duplicates.
func (l *layer) lay() []layout {
	out := l.fitViews(l.startViews())
	sorting.Stable(out, byScore)
	if len(out) > 0 && out[0].off > closeFit/2 && !l.straight() {
		out = append(out, l.improve(out[0])...)
		sorting.Stable(out, byScore)
	}
	return slices.CompactFunc(out, func(a, b layout) bool { return slices.Equal(a.spot, b.spot) })
}

func byScore(a, b layout) int { return cmp.Compare(b.score(), a.score()) }

// improveRounds is the largest number of improvements of the best layout, and
// leanSteps are the perspective terms added to it (1 is the size of the plan).
const improveRounds = 3

var leanSteps = []float64{0.04, 0.08, 0.14}

// improve looks for better layouts near one with a large distance to the spots.
// Two marks say little about the perspective; with a wrong one the middle of a side
// can be off by a pixel although its corners are right.
func (l *layer) improve(best layout) (out []layout) {
	for range improveRounds {
		round := l.leaningLayouts(best)
		out = append(out, round...)
		from := best
		for _, got := range round {
			if got.score() > best.score() {
				best = got
			}
		}
		if best.score() <= from.score() {
			break
		}
	}
	return out
}

// leaningLayouts are layouts with perspective added in eight directions, so that
// one end of the prop is further away.
func (l *layer) leaningLayouts(from layout) []layout {
	pairs := l.pairsOf(from.spot)
	var views []view
	for way := range 8 {
		sin, cos := math.Sincos(float64(way) * math.Pi / 4)
		for _, lean := range leanSteps {
			views = append(views, from.view.leaning(lean*cos, lean*sin, pairs))
		}
	}
	return l.fitViews(views)
}

// fitViews are the layouts of views, without those that match too few spots.
func (l *layer) fitViews(views []view) (out []layout) {
	got, good := make([]layout, len(views)), make([]bool, len(views))
	parallel.Each(len(views), func(i int) { got[i], good[i] = l.fitView(views[i]) })
	for i := range got {
		if good[i] {
			out = append(out, got[i])
		}
	}
	return out
}

// pairsOf are the pairs of the marks, and of the places that have a spot.
func (l *layer) pairsOf(spot []int) []pair {
	pairs := l.markPairs(0.5)
	for i, s := range spot {
		if s >= 0 {
			pairs = append(pairs, pair{l.plan[i], l.spots[s], 1})
		}
	}
	return pairs
}

// score is the agreement, less penalties for the distances of spots and marks.
func (l layout) score() float64 { return l.agree - 0.5*l.off - 0.3*max(0, l.marked-0.3) }

// startViews are the views from which layouts are fitted: one for each tilt, with
// four or more marks the one fitted to them, and those by the words. Tilts are
// always tried, since marks near a line say little about them.
func (l *layer) startViews() []view {
	a, b := l.pairOf(l.marks[0]), l.pairOf(l.marks[1])
	for _, m := range l.marks[1:] { // start from the mark furthest from the first
		if p := l.pairOf(m); distance(p.plan, a.plan) > distance(b.plan, a.plan) {
			b = p
		}
	}
	ts := tilts()
	if l.straight() {
		ts = endViews()
	}
	var out []view
	for _, t := range ts {
		out = append(out, viewFrom(t, l.from, l.to, a, b))
	}
	if len(l.marks) >= 4 {
		out = append(out, out[0].fitted(l.markPairs(1)))
	}
	for _, first := range l.firstSlots() {
		if v, ok := l.byWords(first); ok {
			out = append(out, v)
		}
	}
	return out
}

func (l *layer) pairOf(m Mark) pair { return pair{l.plan[m.Place], m.At, 1} }

func (l *layer) markPairs(weight float64) []pair {
	var out []pair
	for _, m := range l.marks {
		out = append(out, pair{l.plan[m.Place], m.At, weight})
	}
	return out
}

// fitView fits a view to the spots that lie near a place, within less distance each
// time. It is false when too few do.
func (l *layer) fitView(v view) (layout, bool) {
	at := make([]Point, len(l.plan))
	for round := range 14 {
		l.project(v, at)
		reach := []float64{0.9, 0.7}[min(round/5, 1)]
		if round >= 10 {
			reach = 0.5
		}
		pairs := l.pairsOf(l.match(at, reach))
		if len(pairs) < len(l.marks)+min(4, len(l.plan)) {
			return layout{}, false
		}
		v = v.fitted(pairs)
	}
	l.project(v, at)
	off := l.off(at)
	l.bend(at)
	out := l.judged(at)
	out.off, out.view = off/max(out.spacing, 1), v
	return out, true
}

func (l *layer) project(v view, at []Point) {
	for i, p := range l.plan {
		at[i] = v.at(p)
	}
}

// match is the spot of each place: the nearest one within reach spacings, if no
// other place is nearer to it; else -1.
func (l *layer) match(at []Point, reach float64) []int {
	spot := make([]int, len(at))
	owner := make([]int, len(l.spots))
	far := make([]float64, len(l.spots))
	for s := range owner {
		owner[s], far[s] = -1, math.Inf(1)
	}
	for i, p := range at {
		spot[i] = -1
		if s, d := l.near.nearest(p); s >= 0 && d < reach*l.spacing && d < far[s] {
			owner[s], far[s] = i, d
		}
	}
	for s, i := range owner {
		if i >= 0 {
			spot[i] = s
		}
	}
	return spot
}

// bend moves each place by the mean offset of the spots around it, which corrects
// lens distortion and rings bent by hand.
func (l *layer) bend(at []Point) {
	g := gridOf(at, 4*l.spacing)
	for range 3 {
		spot := l.match(at, 0.45)
		moved := make([]Point, len(at))
		for i := range at {
			var sum Point
			n := 4.0 // as four spots without offset, so that few spots move a place little
			g.around(g.all[i], 1, func(j int) {
				if spot[j] >= 0 && distance(g.all[i], g.all[j]) < 4*l.spacing {
					sum = sum.plus(l.spots[spot[j]].minus(at[j]))
					n++
				}
			})
			moved[i] = at[i].plus(Point{sum.X / n, sum.Y / n})
		}
		copy(at, moved)
	}
}

// off is the root-mean-square distance of spots from their places, camera pixels.
func (l *layer) off(at []Point) float64 {
	var sum, n float64
	for i, s := range l.match(at, 0.5) {
		if s >= 0 {
			d := distance(at[i], l.spots[s])
			sum, n = sum+d*d, n+1
		}
	}
	return math.Sqrt(sum / max(n, 1))
}

// judged is the layout of these places with its measures.
func (l *layer) judged(at []Point) layout {
	out := layout{at: slices.Clone(at), spot: l.match(at, 0.5)}
	var all, on float64
	for _, w := range l.weight {
		all += w
	}
	for _, s := range out.spot {
		if s >= 0 {
			on += l.weight[s]
		}
	}
	if all > 0 {
		out.agree = on / all
	}
	out.follows = l.following(out.spot)
	out.spacing = l.middleSpacing(at)
	for _, m := range l.marks {
		out.marked = max(out.marked, distance(m.At, at[m.Place])/max(out.spacing, 1))
	}
	return out
}

// following counts neighbours in a run whose data continues, in either direction.
// A wrong layout makes neighbours of spots that are not.
func (l *layer) following(spot []int) (n int) {
	for i := 1; i < len(spot); i++ {
		a, b := spot[i-1], spot[i]
		if a < 0 || b < 0 || slices.Contains(l.starts, i) || l.slot[a] < 0 || l.slot[b] < 0 {
			continue
		}
		if d := l.slot[b] - l.slot[a]; d == l.chip || d == -l.chip {
			n++
		}
	}
	return n
}

// middleSpacing is the median distance of neighbours in a run, or to the nearest
// other place when every run has one pixel.
func (l *layer) middleSpacing(at []Point) float64 {
	var all []float64
	for i := 1; i < len(at); i++ {
		if !slices.Contains(l.starts, i) {
			all = append(all, distance(at[i], at[i-1]))
		}
	}
	if len(all) == 0 {
		all = toNearest(at)
	}
	return median(all)
}
