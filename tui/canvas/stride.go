package canvas

import (
	"math"
	"slices"

	"example.org/ringout/internal/prop"
)

// straight reports whether the runs have no bends. Up to mostCorners changes of direction
// count as corners.
func straight(pts [][]prop.Point) bool {
	return !slices.ContainsFunc(strides(pts, grid{perCell: 1}), func(s stride) bool { return s.bent && s.pixels > mostCorners })
}

// evenLines is the largest vertical scale from least to most, in lines per metre, at which the
// pixels of a vertical stretch are whole lines apart; most if there is none.
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

// A stride is the distance between neighbouring pixels in part of a run. length is in places
// at a scale of 1, pixels is how many have this distance.
type stride struct {
	length float64
	pixels int
	bent   bool
}

// evenly is the scale, in columns per metre up to most, at which the most pixels are evenly
// spaced; the largest such scale, or most if there is none. An uneven gap would look like a
// fault. A bend is compared where it is vertical.
func evenly(pts [][]prop.Point, most float64, g grid) float64 {
	const least = 0.5 // of most: a smaller drawing would waste the space
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

// ringOf returns the centre of a ring and its radii in columns and lines; ok is false if the
// run is no ring.
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

// A span is a range of numbers of places at which a stride looks even.
type span struct{ from, to float64 }

// spans lists the spacings, in places up to most, at which a stride looks even. A straight
// stretch may exceed a whole number by mostDropped. A bend may exceed it by mostSpread; from two
// places on it may also be slightly below.
func (s stride) spans(most float64) (out []span) {
	const less = 0.2
	for whole := 1.0; whole <= most+less; whole++ {
		switch {
		case !s.bent:
			out = append(out, span{whole, whole * (1 + mostDropped)})
		case whole == 1:
			out = append(out, span{whole, whole * (1 + mostSpread)})
		default:
			out = append(out, span{whole - less, whole * (1 + mostSpread)})
		}
	}
	return out
}

// scales lists the scales up to most, one per span, at which a stride looks even.
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

// strides lists the strides of straight stretches, equal ones joined, and one per run for its
// bends.
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

// inStep returns the place of the third of three consecutive pixels. before is the place of
// the second, on the nearest place of the third. If the three lie on a line, the third keeps
// the whole-place step from the second: rounding each alone would add a gap now and then.
func inStep(at []spotAt, before, on spotAt) spotAt {
	const mostOff = 1.5 // steps
	d, last := at[2].minus(at[1]), at[1].minus(at[0])
	if d.minus(last).length() > 1e-6*d.length() {
		return on
	}
	step := func(d, before, at, on float64) float64 {
		whole := math.Floor(math.Abs(d) + 1e-9)
		next := before + math.Copysign(whole, d)
		if whole < 1 || math.Abs(d)-whole > mostDropped*whole || math.Abs(next-at) > mostOff*whole {
			return on
		}
		return next
	}
	return spotAt{step(d.x, before.x, at[2].x, on.x), step(d.y, before.y, at[2].y, on.y)}
}
