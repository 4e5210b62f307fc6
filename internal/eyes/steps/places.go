package steps

import (
	"math"
	"slices"

	"example.org/ringout/internal/eyes"
)

// Places are those that a person is to mark: planned pixel 1 and the one
// furthest from it; two more, far from both, unless the prop is one straight
// line or all rings about one middle, which fit a picture in no second way.
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
	far := furthest(all, func(p eyes.Point) float64 { return apart(p, all[0]) })
	third := furthest(all, func(p eyes.Point) float64 { return across(p, all[0], all[far]) })
	side := math.Signbit(signed(all[third], all[0], all[far]))
	fourth := furthest(all, func(p eyes.Point) float64 {
		if d := across(p, all[0], all[far]); math.Signbit(signed(p, all[0], all[far])) != side && d > 0 {
			return 10 * d // the other side tells most
		}
		return min(apart(p, all[0]), apart(p, all[far]), apart(p, all[third]))
	})
	return []int{0, far, third, fourth}
}

// wanted is the places of the marks that there are, then the others of some
// that are to be marked, as many as these.
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

// signed is twice the area of a triangle, across its distance from a line.
func signed(p, a, b eyes.Point) float64 {
	return (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X)
}

func across(p, a, b eyes.Point) float64 {
	return math.Abs(signed(p, a, b)) / math.Max(apart(a, b), 1e-9)
}

// regular reports whether all places lie on one line, or each run's lie on a
// circle about the middle of all.
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

// nearest is the spot nearest to a point, and how far it is.
func (s Sight) nearest(at eyes.Point) (eyes.Point, float64) {
	best, far := at, math.Inf(1)
	for _, p := range s.Spots {
		if d := apart(p, at); d < far {
			best, far = p, d
		}
	}
	return best, far
}
