package prop

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func near(t *testing.T, want, got Point, tol float64) {
	t.Helper()
	assert.InDelta(t, want.X, got.X, tol)
	assert.InDelta(t, want.Y, got.Y, tol)
}

func TestPortholeRingsLieOneInAnother(t *testing.T) {
	p := Porthole()
	lay := Layout(p)
	require.Len(t, lay, 3)
	for i, pts := range lay {
		require.Len(t, pts, p.Runs[i].Pixels)
		// Circle geometry: n pixels at 60 a metre make a circumference of
		// n/60 m, so a radius of n/60/2pi; data enters at the top.
		r := float64(len(pts)) / 60 / (2 * math.Pi)
		near(t, Point{0, r}, pts[0], 1e-6)
		near(t, Point{r, 0}, pts[len(pts)/4], 1e-4)
		for _, q := range pts {
			assert.InDelta(t, r, math.Hypot(q.X, q.Y), r*1e-4)
		}
	}
}

func TestRunShapes(t *testing.T) {
	chip, _ := ChipByName("WS2812B")
	rows := []struct {
		name  string
		run   Run
		first Point
		last  Point
	}{
		{"a line of 1 m to the right, first pixel half a pitch in",
			Run{Pixels: 60, Shape: Shape{Kind: Line, Centre: Point{2, 1}}}, Point{1.5 + 1./120, 1}, Point{2.5 - 1./120, 1}},
		{"the same from the other end",
			Run{Pixels: 60, Reverse: true, Shape: Shape{Kind: Line, Centre: Point{2, 1}}}, Point{2.5 - 1./120, 1}, Point{1.5 + 1./120, 1}},
		{"a line straight up",
			Run{Pixels: 60, Shape: Shape{Kind: Line, Centre: Point{2, 1}, Angle: 90}}, Point{2, 0.5 + 1./120}, Point{2, 1.5 - 1./120}},
		{"a ring of 4 from the right, clockwise: last is at the top",
			Run{Pixels: 4, Shape: Shape{Kind: Ring, Diameter: 2, Start: 90}}, Point{1, 0}, Point{0, 1}},
		{"the same counter-clockwise: last is at the bottom",
			Run{Pixels: 4, Reverse: true, Shape: Shape{Kind: Ring, Diameter: 2, Start: 90}}, Point{1, 0}, Point{0, -1}},
		{"a square outline",
			Run{Pixels: 4, Shape: Shape{Kind: Outline, Corners: []Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}}}, Point{0, 0}, Point{0, 1}},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			pts := Layout(&Prop{Chip: chip, Runs: []Run{row.run}})[0]
			near(t, row.first, pts[0], 1e-9)
			near(t, row.last, pts[len(pts)-1], 1e-9)
		})
	}
}

func TestStarOfFivePoints(t *testing.T) {
	chip, _ := ChipByName("WS2812B")
	// Geometry of the pentagram: its inner corners lie at 1/phi^2 = 0.381966
	// of the outer radius. Ten pixels sit on the ten corners.
	pts := Layout(&Prop{Chip: chip, Runs: []Run{{Pixels: 10, Shape: Shape{Kind: Star, Points: 5, Diameter: 2}}}})[0]
	for i, q := range pts {
		want := 1.0
		if i%2 == 1 {
			want = 0.381966
		}
		assert.InDelta(t, want, math.Hypot(q.X, q.Y), 1e-6)
	}
	// A star known only by its strip has an outline as long as the strip.
	s := starPath(Shape{Kind: Star, Points: 6}, 1.2)
	assert.InDelta(t, 1.2, pathLength(s), 1e-9)
}

func TestLooseLinesLieBelow(t *testing.T) {
	chip, _ := ChipByName("WS2812B")
	p := &Prop{Chip: chip, Runs: []Run{
		{Pixels: 30, Shape: Shape{Kind: Line}}, {Pixels: 60, Shape: Shape{Kind: Ring}}, {Pixels: 30, Shape: Shape{Kind: Line}},
	}}
	lay := Layout(p)
	lo, _ := Bounds(lay[1])
	assert.Less(t, lay[0][0].Y, lo.Y)
	assert.Less(t, lay[2][0].Y, lay[0][0].Y)
}
