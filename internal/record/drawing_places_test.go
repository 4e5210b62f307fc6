package record

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// Marks of the drawing, by hand: two runs on one line 2 m apart, three pixels
// each a metre from each other: the page is 580 units for 4 m, so a metre is 145.
func TestDrawingByHand(t *testing.T) {
	layout := [][]prop.Point{{{X: 0}, {X: 1}}, {{X: 3}, {X: 4, Y: 1}}}
	d := newDrawing(layout)
	assert.InDelta(t, 145+60, d.height, 1e-9)
	assert.InDelta(t, 5, d.radius, 1e-9)
	assert.InDelta(t, 100, d.pitch, 1e-9, "no pitch above 100 is told apart")
	assert.Equal(t, prop.Point{X: 30, Y: 175}, d.at[0][0])
	assert.Equal(t, prop.Point{X: 610, Y: 30}, d.at[1][1])
	assert.Equal(t, prop.Point{X: 465, Y: 175}, d.pixel(2))
	d.joint(1)
	line := regexp.MustCompile(`x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)"`).FindStringSubmatch(d.body.String())
	assert.Equal(t, []float64{175, 175, 465, 175}, floats(t, line[1:]))
	require.Len(t, d.wanted, 1)
	assert.Equal(t, label{at: prop.Point{X: 320, Y: 175}, text: "J2", bold: true}, d.wanted[0])
	for _, q := range []prop.Point{{X: 200, Y: 175}, {X: 320, Y: 175}, {X: 460, Y: 175}} {
		assert.False(t, d.fits(around(q, 3)), "labels keep off the wire at %v", q)
	}
	assert.True(t, d.fits(around(prop.Point{X: 320, Y: 100}, 3)))
	for _, b := range []box{{-1, 50, 9, 60}, {50, -1, 60, 9}, {635, 50, 641, 60}, {50, 200, 60, 206}} {
		assert.False(t, d.fits(b), "off the page")
	}
	for _, b := range []box{{0, 50, 9, 60}, {50, 0, 60, 9}, {631, 50, 640, 60}, {50, 196, 60, 205}} {
		assert.True(t, d.fits(b), "on the very edge: %v", b)
	}
	d.joint(1)
	empty := newDrawing([][]prop.Point{{}, {{X: 1}}, {}})
	empty.joint(1)
	empty.joint(2)
	assert.Empty(t, empty.body.String(), "an empty run has no joint to draw")
	one := newDrawing([][]prop.Point{{{X: 7, Y: 7}}})
	assert.InDelta(t, 60, one.height, 1e-9)
	assert.Equal(t, prop.Point{X: 320, Y: 30}, one.at[0][0], "in the middle")
	upright := newDrawing([][]prop.Point{{{Y: 0}, {Y: 1}}})
	assert.InDelta(t, 690, upright.height, 1e-9)
	dense := newDrawing([][]prop.Point{{{X: 0}, {X: 0.001}, {X: 1}}})
	assert.InDelta(t, 0.6, dense.radius, 1e-9)
	mid := newDrawing([][]prop.Point{{{X: 0}, {X: 0.01}, {X: 1}}})
	assert.InDelta(t, 0.38*5.8, mid.radius, 1e-9)
}

// The square of a feed lies round its pixel; a feed past the end goes to the
// last pixel, and one run's last pixel is labelled only when it has two.
func TestFeedsOnTheDrawing(t *testing.T) {
	p := prop.Porthole()
	p.Feeds = []prop.Feed{{Pixel: 40}, {Pixel: 1000}}
	svg := picture(p)
	dots := circles(t, svg)
	boxes := regexp.MustCompile(`<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"`).FindAllStringSubmatch(svg, -1)
	require.Len(t, boxes, 2)
	for i, pixel := range []int{40, 143} {
		v := floats(t, boxes[i][1:])
		assert.InDelta(t, dots[pixel].X, v[0]+v[2]/2, 0.11)
		assert.InDelta(t, dots[pixel].Y, v[1]+v[3]/2, 0.11)
		assert.InDelta(t, v[2], v[3], 0.01)
		assert.Contains(t, svg, fmt.Sprintf(">F%d</text>", i+1))
	}
	assert.Equal(t, 1, strings.Count(picture(prop.BuoyLamp()), ">1</text>"))
	svg, _, every := drawingSVG(prop.Pennant())
	assert.Equal(t, 10, every)
	for _, n := range []int{1, 10, 20, 130, 136} {
		assert.LessOrEqual(t, strings.Count(svg, fmt.Sprintf(">%d</text>", n)), 1)
	}
	for pitch, want := range map[float64]int{2.2: 10, 2.19: 50, 0.44: 50, 0.43: 100, 0.22: 100, 0.21: 500, 0.044: 500, 0.043: 1000} {
		assert.Equal(t, want, numberStep(pitch), "%g", pitch)
	}
}

// Arrows: three, one more for every 60 pixels, never more than there are steps,
// spread evenly.
func TestArrowsOnARun(t *testing.T) {
	for n, want := range map[int]int{1: 0, 2: 1, 3: 2, 4: 3, 59: 3, 60: 4, 119: 4, 120: 5} {
		layout := make([]prop.Point, n)
		for i := range layout {
			layout[i].X = float64(i)
		}
		d := newDrawing([][]prop.Point{layout})
		d.arrows(d.at[0])
		got := regexp.MustCompile(`translate\(([\d.]+) `).FindAllStringSubmatch(d.body.String(), -1)
		require.Len(t, got, want, "%d pixels", n)
		last, width := 0.0, 580/math.Max(1, float64(n-1))
		for k, m := range got {
			x := floats(t, m[1:])[0]
			middle := 30 + 580*(2*float64(k)+1)/(2*float64(want))
			assert.InDelta(t, middle, x, width+0.1, "arrow %d of %d pixels", k, n)
			assert.Greater(t, x, last)
			last = x
		}
	}
}

// A label goes to a free place near its mark, and where none is near a line
// leads to it.
func TestLabelsNearTheirMarks(t *testing.T) {
	d := newDrawing([][]prop.Point{{{X: 0}, {X: 1, Y: 1}}})
	at := prop.Point{X: 300, Y: 300}
	b, ok := d.freePlace(label{at: at, text: "middle"})
	require.True(t, ok)
	near := b.nearest(at)
	assert.LessOrEqual(t, apart(near, at), d.radius+5)
	assert.GreaterOrEqual(t, apart(near, at), d.radius, "not on the pixel")
	assert.Equal(t, prop.Point{X: b.x0, Y: b.y1}, b.nearest(prop.Point{X: b.x0 - 5, Y: b.y1 + 5}))
	d.taken = append(d.taken, around(at, 60))
	_, ok = d.freePlace(label{at: at, text: "10", tens: true})
	assert.False(t, ok, "one of many is not looked for far away")
	b, ok = d.freePlace(label{at: at, text: "J1"})
	require.True(t, ok)
	assert.Greater(t, apart(b.nearest(at), at), 59.0)
	d.wanted = []label{{at: at, text: "J1"}}
	d.labels()
	assert.Equal(t, 1, strings.Count(d.body.String(), "<line"))
	d.taken, d.wanted = nil, []label{{at: at, text: "J2"}}
	d.labels()
	assert.Equal(t, 1, strings.Count(d.body.String(), "<line"), "beside its mark it needs none")
	assert.True(t, box{0, 0, 2, 2}.hits(box{1, 1, 3, 3}))
	for _, other := range []box{{2, 0, 4, 2}, {0, 2, 2, 4}, {-2, 0, 0, 2}, {0, -2, 2, 0}} {
		assert.False(t, box{0, 0, 2, 2}.hits(other), "side by side")
		assert.False(t, other.hits(box{0, 0, 2, 2}))
	}
}

// An arrow stands on its step where there is room between the circles, else
// beside it, six units from them, on the free side.
func TestWhereArrowsStand(t *testing.T) {
	for _, row := range []struct {
		a, b   prop.Point
		want   prop.Point
		radius float64
	}{
		{prop.Point{X: 100, Y: 100}, prop.Point{X: 120, Y: 100}, prop.Point{X: 110, Y: 100}, 5}, {prop.Point{X: 100, Y: 100}, prop.Point{X: 119, Y: 100}, prop.Point{X: 109.5, Y: 89}, 5},
		{prop.Point{X: 100, Y: 100}, prop.Point{X: 100, Y: 120}, prop.Point{X: 100, Y: 110}, 5}, {prop.Point{X: 100, Y: 100}, prop.Point{X: 100, Y: 110}, prop.Point{X: 111, Y: 105}, 5},
		{prop.Point{X: 100, Y: 100}, prop.Point{X: 112, Y: 100}, prop.Point{X: 106, Y: 100}, 1},
	} {
		d := &drawing{height: 600, radius: row.radius}
		d.arrow([]prop.Point{row.a, row.b}, 0)
		at := floats(t, regexp.MustCompile(`translate\(([\d.]+) ([\d.]+)\)`).FindStringSubmatch(d.body.String())[1:])
		assert.InDelta(t, row.want.X, at[0], 0.06, "%+v", row)
		assert.InDelta(t, row.want.Y, at[1], 0.06, "%+v", row)
		blocked := &drawing{height: 600, radius: row.radius, taken: []box{around(row.want, 4)}}
		blocked.arrow([]prop.Point{row.a, row.b}, 0)
		other := floats(t, regexp.MustCompile(`translate\(([\d.]+) ([\d.]+)\)`).FindStringSubmatch(blocked.body.String())[1:])
		mid := prop.Point{X: (row.a.X + row.b.X) / 2, Y: (row.a.Y + row.b.Y) / 2}
		assert.InDelta(t, 2*mid.X-row.want.X, other[0], 0.06, "on the other side of %+v", row)
		assert.InDelta(t, 2*mid.Y-row.want.Y, other[1], 0.06)
	}
	d := &drawing{height: 600, radius: 5}
	d.arrow([]prop.Point{{X: 1, Y: 1}, {X: 1, Y: 1}}, 0)
	assert.Empty(t, d.body.String(), "two pixels in one place have no way between them")
}

// A drawing as high as it gets leaves room for the table of one run below it,
// not for two: 200 mm, 36 mm, 11 mm and 5 mm a row of 255 mm.
func TestTallDrawingsLeaveLittleRoom(t *testing.T) {
	p := prop.Porthole()
	p.Parts, p.Feeds = nil, nil
	for n := 1; n <= 2; n++ {
		p.Runs = nil
		for i := range n {
			p.Runs = append(p.Runs, prop.Run{Name: string(rune('a' + i)), Pixels: 30, Shape: prop.Shape{Kind: prop.Line, Angle: 90, Centre: prop.Point{X: 0.01 * float64(i+1)}}})
		}
		h := newHTMLPage(page(t, p))
		_, height, _ := drawingSVG(p)
		require.InDelta(t, 690, height, 1)
		assert.Equal(t, n == 1, h.OnFront, "%d runs", n)
	}
}

// Labels stand in two columns: of two runs one more line, and one more for each
// fifty letters of the first.
func TestLabelsTakeLines(t *testing.T) {
	lines := func(runs ...string) float64 {
		h := newHTMLPage(page(t, prop.Porthole()))
		h.Tables, h.OnFront = [][]prop.Row{nil}, true
		h.Rows = nil
		for _, name := range runs {
			r := prop.Row{Run: name, Prop: "p", Pixels: 1, FirstUniverse: 1, FirstSlot: 1, LastUniverse: 1, LastSlot: 3}
			h.Rows, h.Tables[0] = append(h.Rows, r), append(h.Tables[0], r)
		}
		for range 40 {
			h.Notes = append(h.Notes, "x")
		}
		return 723 / (1.3 * fontSize(h))
	}
	none, long := lines(), strings.Repeat("x", 60)
	assert.InDelta(t, none+1, lines("a"), 1e-6)
	assert.InDelta(t, none+1, lines("a", "b"), 1e-6)
	assert.InDelta(t, none+2, lines("a", "b", "c"), 1e-6)
	assert.InDelta(t, none+1+0.92, lines(long), 1e-6)
	assert.InDelta(t, none+1, lines("a", long), 1e-6, "beside a short one")
}
