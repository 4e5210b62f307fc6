package prop

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var drawnChip = Chip{Name: "x", Order: "GRB", LightsPerMetre: 60, LightsPerPixel: 1}

// Pixel i of a ring of n lies at its share of the way round from the start,
// clockwise from the top; reversed, counter-clockwise. Where no diameter is
// given the strip's length is the circumference.
func TestRingsByTrigonometry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "pixels")
		r := Run{Pixels: n, Shape: Shape{Kind: Ring, Start: float64(rapid.IntRange(0, 359).Draw(t, "start")), Centre: Point{3, -2}}, Reverse: rapid.Bool().Draw(t, "reverse")}
		radius := float64(n) / 60 / (2 * math.Pi)
		if rapid.Bool().Draw(t, "diameter given") {
			r.Shape.Diameter, radius = 0.5, 0.25
		}
		p := &Prop{Chip: drawnChip, Runs: []Run{r}}
		for i, at := range Layout(p)[0] {
			turn := 360 * float64(i) / float64(n)
			if r.Reverse {
				turn = -turn
			}
			deg := (r.Shape.Start + turn) * math.Pi / 180
			x, y := 3+radius*math.Sin(deg), -2+radius*math.Cos(deg)
			if math.Hypot(at.X-x, at.Y-y) > 0.002*radius {
				t.Fatalf("pixel %d of %d at %v, want %g, %g", i, n, at, x, y)
			}
		}
	})
}

// Pixels of a line lie half a pitch from its ends, evenly, about its centre at
// its angle; of an outline along its corners.
func TestLinesAndOutlines(t *testing.T) {
	line := func(r Run) []Point { return Layout(&Prop{Chip: drawnChip, Runs: []Run{r}})[0] }
	near := func(want, got []Point) {
		t.Helper()
		require.Len(t, got, len(want))
		for i := range want {
			assert.InDelta(t, want[i].X, got[i].X, 1e-9, "pixel %d", i)
			assert.InDelta(t, want[i].Y, got[i].Y, 1e-9, "pixel %d", i)
		}
	}
	near([]Point{{4, 6.5}, {4, 7.5}}, line(Run{Pixels: 2, Cut: 2, Shape: Shape{Kind: Line, Angle: 90, Centre: Point{4, 7}}}))
	near([]Point{{4, 7.5}, {4, 6.5}}, line(Run{Pixels: 2, Cut: 2, Reverse: true, Shape: Shape{Kind: Line, Angle: 90, Centre: Point{4, 7}}}))
	near([]Point{{0.5, 0}, {1, 0.5}, {1, 1.5}}, line(Run{Pixels: 3, Shape: Shape{Kind: Outline, Corners: []Point{{0, 0}, {1, 0}, {1, 2}}}}))
	square := []Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}
	near([]Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, line(Run{Pixels: 4, Shape: Shape{Kind: Outline, Corners: square}}))
	near([]Point{{0, 0}, {0, 1}, {1, 1}, {1, 0}}, line(Run{Pixels: 4, Reverse: true, Shape: Shape{Kind: Outline, Corners: square}}))
	near([]Point{{0, 0}, {1, 0}}, line(Run{Pixels: 2, Shape: Shape{Kind: String, Corners: []Point{{0, 0}, {1, 0}, {5, 5}}}}))
	near([]Point{{5, 5}, {1, 0}}, line(Run{Pixels: 2, Reverse: true, Shape: Shape{Kind: String, Corners: []Point{{0, 0}, {1, 0}, {5, 5}}}}))
	near([]Point{{0, 0}, {1, 0}, {1, 0}}, line(Run{Pixels: 3, Shape: Shape{Kind: String, Corners: []Point{{0, 0}, {1, 0}}}}))
	near([]Point{{0, 0}, {0, 0}}, line(Run{Pixels: 2, Reverse: true, Shape: Shape{Kind: String, Corners: []Point{{0, 0}}}}))
	assert.Equal(t, []Point{{1, 2}}, Layout(&Prop{Runs: []Run{{Pixels: 1, Shape: Shape{Kind: String, Corners: []Point{{1, 2}}}}}})[0])
}

// Lines without a place lie below the rest, a tenth of the longest run from
// each other.
func TestLooseLinesKeepApart(t *testing.T) {
	p := &Prop{Chip: drawnChip, Runs: []Run{{Pixels: 6}, {Pixels: 60, Shape: Shape{Kind: Ring, Diameter: 0.4}}, {Pixels: 600, Shape: Shape{Kind: Line}}, {Pixels: 6, Shape: Shape{Kind: Line}}}}
	p.Runs[0].Shape.Kind = Line
	at := Layout(p)
	for k, want := range map[int]float64{0: -0.2 - 1, 2: -0.2 - 2, 3: -0.2 - 3} {
		for _, q := range at[k] {
			assert.InDelta(t, want, q.Y, 1e-3, "run %d: 600 pixels of 60 a metre are 10 m", k)
		}
	}
	lone := Layout(&Prop{Chip: drawnChip, Runs: []Run{{Pixels: 6, Shape: Shape{Kind: Line}}, {Pixels: 6, Shape: Shape{Kind: Line}}}})
	assert.InDelta(t, 0, lone[0][0].Y, 1e-12)
	assert.InDelta(t, -1.0/60, lone[1][0].Y, 1e-12, "a sixtieth of a metre at least")
	bulb := &Prop{Chip: Chip{}, Runs: []Run{{Pixels: 3}}}
	assert.InDelta(t, 3.0/60, bulb.Length(0), 1e-12)
	assert.InDelta(t, 6.0/60, p.Length(0), 1e-12)
	p.Runs[0].Cut = 7
	assert.Equal(t, 7.0, p.Length(0))
	lo, hi := Bounds([]Point{{1, 5}, {2, 3}}, nil, []Point{{-1, 4}})
	assert.Equal(t, [2]Point{{-1, 3}, {2, 5}}, [2]Point{lo, hi})
	lo, hi = Bounds()
	assert.Equal(t, [2]Point{}, [2]Point{lo, hi})
}

// Stars of any number of points: 2n sides of one length, every second corner on
// the circle, and from five points on each side in line with another, as drawn
// by hand; fewer have a waist of 0.4.
func TestStarsOfAnyPoints(t *testing.T) {
	for n := 2; n <= 12; n++ {
		path := starPath(Shape{Kind: Star, Points: n, Diameter: 2, Start: 10}, 0)
		require.Len(t, path, 2*n+1)
		assert.InDelta(t, 0, dist(path[0], path[2*n]), 1e-9)
		side := dist(path[0], path[1])
		for i := range 2 * n {
			assert.InDelta(t, side, dist(path[i], path[i+1]), 1e-9)
			r := math.Hypot(path[i].X, path[i].Y)
			switch {
			case i%2 == 0:
				assert.InDelta(t, 1, r, 1e-9)
			case n < 5:
				assert.InDelta(t, 0.4, r, 1e-9)
			}
		}
		if n >= 5 { // point 0, the waists beside it and point 4 (the second one on) are in line
			a, b, c := path[0], path[1], path[4]
			assert.InDelta(t, 0, (b.X-a.X)*(c.Y-a.Y)-(b.Y-a.Y)*(c.X-a.X), 1e-9, "%d points", n)
		}
		byLength := starPath(Shape{Kind: Star, Points: n}, 3)
		assert.InDelta(t, 3, pathLength(byLength), 1e-9)
	}
	assert.Len(t, starPath(Shape{Points: 1, Diameter: 1}, 0), 11, "five points where none are given")
	assert.Len(t, starPath(Shape{Points: 2, Diameter: 1}, 0), 5)
}

// A walk along a path is at every distance where small steps along it lead, and
// stays at its end past it.
func TestWalksAlongAPath(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var path []Point
		for range rapid.IntRange(2, 6).Draw(t, "points") {
			path = append(path, Point{float64(rapid.IntRange(0, 4).Draw(t, "x")), float64(rapid.IntRange(0, 4).Draw(t, "y"))})
		}
		total := 0.0
		for i := 1; i < len(path); i++ {
			total += math.Hypot(path[i].X-path[i-1].X, path[i].Y-path[i-1].Y)
		}
		require.InDelta(t, total, pathLength(path), 1e-9)
		w := newWalker(path)
		for d := 0.0; d < total; d += total/37 + 1e-6 {
			left, at := d, path[0]
			for i := 1; i < len(path); i++ {
				side := math.Hypot(path[i].X-path[i-1].X, path[i].Y-path[i-1].Y)
				if side > 0 {
					share := min(1, left/side)
					at = Point{path[i-1].X + share*(path[i].X-path[i-1].X), path[i-1].Y + share*(path[i].Y-path[i-1].Y)}
				}
				if left <= side {
					break
				}
				left -= side
			}
			got := w.at(d)
			require.InDelta(t, at.X, got.X, 1e-6, "%v at %g", path, d)
			require.InDelta(t, at.Y, got.Y, 1e-6, "%v at %g", path, d)
		}
		end, last := newWalker(path).at(total), path[len(path)-1]
		require.InDelta(t, last.X, end.X, 1e-6)
		require.InDelta(t, last.Y, end.Y, 1e-6)
	})
}

// Rings and stars go clockwise from their start, which counts clockwise from
// the top: the angle of each pixel grows, seen from the lit face.
func TestRoundShapesGoClockwise(t *testing.T) {
	for _, kind := range []ShapeKind{Ring, Star} {
		for _, start := range []float64{0, 30, 200} {
			p := &Prop{Runs: []Run{{Pixels: 50, Shape: Shape{Kind: kind, Diameter: 2, Points: 5, Start: start, Centre: Point{3, 4}}}}}
			at := Layout(p)[0]
			first := math.Atan2(at[0].X-3, at[0].Y-4) * 180 / math.Pi
			assert.InDelta(t, 0, math.Remainder(first-start, 360), 0.5, "%s from %g", kind, start)
			for i := 1; i < len(at); i++ {
				a, b := math.Atan2(at[i-1].X-3, at[i-1].Y-4), math.Atan2(at[i].X-3, at[i].Y-4)
				step := math.Remainder(b-a, 2*math.Pi)
				assert.Positive(t, step, "%s from %g, pixel %d", kind, start, i+1)
				assert.Less(t, step, 0.4)
			}
		}
	}
	_, _, err := Parse([]byte(plain+"shape = \"blob\"\n"), "t.toml")
	assert.ErrorContains(t, err, `run 1, shape: "blob" is no shape`)
	_, _, err = Parse([]byte(plain+"shape = \"\"\n"), "t.toml")
	assert.Error(t, err)
}
