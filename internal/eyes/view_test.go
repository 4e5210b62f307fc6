package eyes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A view through a pinhole camera, worked by hand: the plan is turned about
// an axis, moved away and divided by its distance.
func pinhole(p Point, axis, angle, turn, far float64) Point {
	sin, cos := math.Sincos(axis)
	along, across := p.X*cos+p.Y*sin, -p.X*sin+p.Y*cos
	depth := far + across*math.Sin(angle)
	across *= math.Cos(angle)
	x, y := along*cos-across*sin, along*sin+across*cos
	ts, tc := math.Sincos(turn)
	x, y = x*tc-y*ts, x*ts+y*tc
	return Point{640 + 900*x/depth, 360 - 900*y/depth}
}

func TestAViewThroughAPinholeIsFound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		axis, angle := rapid.Float64Range(0, 3).Draw(t, "axis"), rapid.Float64Range(0, 0.9).Draw(t, "angle")
		turn, far := rapid.Float64Range(-3, 3).Draw(t, "turn"), rapid.Float64Range(1, 3).Draw(t, "far")
		var pairs []pair
		for i := range 24 {
			p := Point{0.3 * math.Cos(float64(i)), 0.2 * math.Sin(float64(i)*1.7)}
			pairs = append(pairs, pair{p, pinhole(p, axis, angle, turn, far), 1})
		}
		var plan, seen []Point
		for _, p := range pairs {
			plan, seen = append(plan, p.plan), append(seen, p.picture)
		}
		v := viewFrom(tilt{}, frameOf(plan), frameOf(seen), pairs[0], pairs[5])
		require.InDelta(t, 0, distance(v.at(pairs[0].plan), pairs[0].picture), 1e-6)
		require.InDelta(t, 0, distance(v.at(pairs[5].plan), pairs[5].picture), 1e-6)
		for range 8 {
			v = v.fitted(pairs)
		}
		for _, p := range pairs {
			require.InDelta(t, 0, distance(v.at(p.plan), p.picture), 0.2)
		}
	})
}

func TestATiltedStartMeetsItsMarks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ts := append(tilts(), endViews()...)
		s := ts[rapid.IntRange(0, len(ts)-1).Draw(t, "tilt")]
		a, b := pair{Point{0, 0.2}, Point{300, 100}, 1}, pair{Point{0.1, -0.3}, Point{500, 420}, 1}
		v := viewFrom(s, frameOf([]Point{{-0.3, -0.3}, {0.3, 0.3}}), frameOf([]Point{{0, 0}, {640, 480}}), a, b)
		require.InDelta(t, 0, distance(v.at(a.plan), a.picture), 1e-6)
		require.InDelta(t, 0, distance(v.at(b.plan), b.picture), 1e-6)
	})
}
