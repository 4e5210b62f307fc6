package record

import (
	"fmt"
	"math"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// A label is as wide as its letters, each 0.62 of the type size, and 4 units; it lies two
// units from the circle, on the right if that is free, else in the next of sixteen
// directions, counter-clockwise, and each round 5 units further out.
func TestPlacesOfLabelsByHand(t *testing.T) {
	at := prop.Point{X: 300, Y: 300}
	place := func(l label, taken ...box) box {
		d := &drawing{height: 600, radius: 5, taken: taken}
		b, ok := d.freePlace(l)
		require.True(t, ok)
		return b
	}
	const w, h = 0.62*11*2 + 4, 13.0
	check := func(want prop.Point, got box) {
		t.Helper()
		assert.InDeltaSlice(t, []float64{want.X - w/2, want.Y - h/2, want.X + w/2, want.Y + h/2}, []float64{got.x0, got.y0, got.x1, got.y1}, 1e-9)
	}
	l := label{at: at, text: "J1"}
	check(prop.Point{X: 307 + w/2, Y: 300}, place(l))
	round := func(degrees, out float64) prop.Point {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		return prop.Point{X: 300 + (7+out+w/2)*cos, Y: 300 - (7+out+h/2)*sin}
	}
	right, above := box{306, 0, 640, 600}, box{0, 0, 640, 293}
	besideLeft, besideRight := box{0, 0, 291, 600}, box{309, 0, 640, 600}
	check(round(112.5, 0), place(l, right))
	check(round(180, 0), place(l, right, above))
	check(round(270, 0), place(l, besideRight, besideLeft, above))
	check(round(90, 0), place(l, besideRight, besideLeft))
	check(round(0, 5), place(l, box{0, 0, 311.5, 600}))
	check(round(0, 10), place(l, box{0, 0, 312.5, 600}))
	tens := place(label{at: at, text: "120", tens: true})
	assert.InDelta(t, 0.62*9*3+4, tens.x1-tens.x0, 1e-9)
	assert.InDelta(t, 11, tens.y1-tens.y0, 1e-9)
	assert.InDelta(t, 307, tens.x0, 1e-9)
}

// A text is centred in its place, its line 2.5 units above the lower edge.
func TestTextsAreInTheirPlaces(t *testing.T) {
	d := &drawing{height: 600, radius: 5}
	d.wanted = []label{{at: prop.Point{X: 300, Y: 300}, text: "J1", bold: true}, {at: prop.Point{X: 100, Y: 100}, text: "10", tens: true}}
	d.labels()
	texts := regexp.MustCompile(`<text x="([\d.]+)" y="([\d.]+)" font-size="(\d+)" text-anchor="middle"( font-weight="bold")?`).FindAllStringSubmatch(d.words.String(), -1)
	require.Len(t, texts, 2)
	require.Len(t, d.taken, 2)
	for i, m := range texts {
		v, b := floats(t, m[1:4]), d.taken[i]
		assert.InDelta(t, (b.x0+b.x1)/2, v[0], 0.051)
		assert.InDelta(t, b.y1-2.5, v[1], 0.051)
		assert.Equal(t, d.wanted[i].size(), v[2])
		assert.Equal(t, d.wanted[i].bold, m[4] != "")
	}
}

// An arrow is turned to the direction of travel, in degrees clockwise as SVG counts them
// with y down.
func TestArrowsAreTurnedToTheDegree(t *testing.T) {
	for degrees := -179.0; degrees <= 180; degrees += 7 {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		d := &drawing{height: 600, radius: 5}
		d.arrow([]prop.Point{{X: 300, Y: 300}, {X: 300 + 40*cos, Y: 300 + 40*sin}}, 0)
		assert.Contains(t, d.body.String(), fmt.Sprintf(" rotate(%.1f)", degrees))
	}
}

// The square of a feed is two units from the circle of its pixel on all sides.
func TestSquaresOfFeeds(t *testing.T) {
	d := newDrawing([][]prop.Point{{{X: 0}, {X: 1}, {X: 1, Y: 1}}})
	d.feed(&prop.Prop{Runs: []prop.Run{{Pixels: 3}}}, 0, prop.Feed{Pixel: 1})
	v := floats(t, regexp.MustCompile(`<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"`).FindStringSubmatch(d.body.String())[1:])
	assert.InDeltaSlice(t, []float64{d.at[0][1].X - 7, d.at[0][1].Y - 7, 14, 14}, v, 0.051, "a circle of radius 5")
}

// One run alone is drawn as large as the page allows, whichever way it goes.
func TestScaleOfTheDrawing(t *testing.T) {
	for _, row := range []struct {
		to         prop.Point
		wide, high float64
	}{{prop.Point{X: 2}, 580, 0}, {prop.Point{Y: 3}, 0, 630}, {prop.Point{X: 580, Y: 630}, 580, 630}, {prop.Point{X: 1, Y: 1}, 580, 580}, {prop.Point{X: 1, Y: 2}, 315, 630}, {prop.Point{}, 0, 0}} {
		d := newDrawing([][]prop.Point{{{}, row.to}})
		a, b := d.at[0][0], d.at[0][1]
		assert.InDelta(t, row.wide, b.X-a.X, 1e-6, "%+v", row)
		assert.InDelta(t, row.high, a.Y-b.Y, 1e-6, "y is down on paper")
		assert.InDelta(t, 640, a.X+b.X, 1e-6, "in the middle")
		assert.InDelta(t, row.high+60, d.height, 1e-6)
		assert.InDelta(t, 30, b.Y, 1e-6, "below the margin")
	}
}
