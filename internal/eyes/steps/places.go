package steps

import (
	"math"
	"slices"

	"example.org/ringout/internal/eyes"
)

// Places are the places that a person has to mark: planned pixel 1, the place furthest from
// it, and two more far from both, unless the prop is a straight line or concentric rings, for
// which two marks are enough.
func Places(s *eyes.Scene) []int {
	all := s.Places()
	far := furthest(all, func(p eyes.Point) float64 { return apart(p, all[0]) })
	out := []int{0, far}
	switch {
	case len(all) < 2:
		return out[:1]
	case regular(s) || len(all) < 4:
		return out
	}
	return fourOf(s)
}

// fourOf is place 1, the furthest from it, and two more far from both. There
// must be four places.
func fourOf(s *eyes.Scene) []int {
	all := s.Places()
	among := make([]int, len(all))
	for i := range among {
		among[i] = i
	}
	return fourAmong(all, among)
}

// fourAmong is the first of some places, the furthest from it, and two more far
// from both; fewer differ where all lie on one line.
func fourAmong(all []eyes.Point, among []int) []int {
	at := func(k int) eyes.Point { return all[among[k]] }
	some := make([]eyes.Point, len(among))
	for k := range among {
		some[k] = at(k)
	}
	far := furthest(some, func(p eyes.Point) float64 { return apart(p, at(0)) })
	third := furthest(some, func(p eyes.Point) float64 { return across(p, at(0), at(far)) })
	side := math.Signbit(signed(at(third), at(0), at(far)))
	fourth := furthest(some, func(p eyes.Point) float64 {
		if d := across(p, at(0), at(far)); math.Signbit(signed(p, at(0), at(far))) != side && d > 0 {
			return 10 * d // prefer the other side of the line
		}
		return min(apart(p, at(0)), apart(p, at(far)), apart(p, at(third)))
	})
	return []int{among[0], among[far], among[third], among[fourth]}
}

// The places marked for a closer look lie within this share of the prop's size around the
// unread ones, and among at least so many places.
const (
	aroundUnread = 0.15
	leastAround  = 8
)

// fourAround is four places around those that were not read, since a closer look
// may show no others.
func fourAround(s *eyes.Scene, unread []int) []int {
	all := s.Places()
	if len(all) < 4 || len(unread) == 0 {
		return Places(s)
	}
	var middle eyes.Point
	for _, i := range unread {
		middle.X, middle.Y = middle.X+all[i].X/float64(len(unread)), middle.Y+all[i].Y/float64(len(unread))
	}
	reach := 0.0
	for _, i := range unread {
		reach = max(reach, apart(all[i], middle))
	}
	far := furthest(all, func(p eyes.Point) float64 { return apart(p, all[0]) })
	reach += aroundUnread * apart(all[0], all[far])
	var among []int
	for i, p := range all {
		if apart(p, middle) <= reach {
			among = append(among, i)
		}
	}
	if len(among) < leastAround {
		return fourOf(s)
	}
	return fourAmong(all, among)
}

// wanted are the places of the existing marks, then others of places, as many in all as
// places has.
func wanted(places []int, marks []eyes.Mark) []int {
	var out []int
	for _, m := range marks {
		out = append(out, m.Place)
	}
	for _, i := range places {
		if len(out) < len(places) && !slices.Contains(out, i) {
			out = append(out, i)
		}
	}
	return out
}

func furthest(all []eyes.Point, far func(eyes.Point) float64) int {
	best := 0
	for i, p := range all {
		if far(p) > far(all[best])+1e-9 {
			best = i
		}
	}
	return best
}

func apart(a, b eyes.Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// signed is twice the signed area of a triangle: positive on one side of the line ab.
func signed(p, a, b eyes.Point) float64 {
	return (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X)
}

func across(p, a, b eyes.Point) float64 {
	return math.Abs(signed(p, a, b)) / math.Max(apart(a, b), 1e-9)
}

// regular reports whether all places lie on one line, or those of each run on a circle about
// the common centre.
func regular(s *eyes.Scene) bool {
	all := s.Places()
	far := furthest(all, func(p eyes.Point) float64 { return apart(p, all[0]) })
	size := apart(all[0], all[far])
	straight := true
	var middle eyes.Point
	for _, p := range all {
		straight = straight && across(p, all[0], all[far]) < 0.01*size
		middle.X, middle.Y = middle.X+p.X/float64(len(all)), middle.Y+p.Y/float64(len(all))
	}
	if straight {
		return true
	}
	for _, r := range s.Runs {
		for _, p := range r.Places {
			if math.Abs(apart(p, middle)-apart(r.Places[0], middle)) > 0.02*size {
				return false
			}
		}
	}
	return true
}

// nearest is the spot nearest to a point, and its distance.
func (s Sight) nearest(at eyes.Point) (eyes.Point, float64) {
	best, far := at, math.Inf(1)
	for _, p := range s.Spots {
		if d := apart(p, at); d < far {
			best, far = p, d
		}
	}
	return best, far
}
