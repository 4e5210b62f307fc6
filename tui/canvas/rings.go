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
// up to most, at which all gaps are even; if there is none, at the scale with the evenest. ok is
// false where the grid is too coarse for rings.
func (l *layout) ringsFitted(g grid, most float64) (best fit, ok bool) {
	all := l.rings
	if len(all) == 0 {
		return best, false
	}
	widest := 0.0
	for _, h := range all {
		widest = max(widest, h.radius)
	}
	search := newRingSearch(g, l.known)
	search.spacing = spacing(all)
	mid := prop.Point{X: (l.lo.X + l.hi.X) / 2, Y: (l.lo.Y + l.hi.Y) / 2}
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
