package record

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/shopping"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A fault is recorded by the name of its run and by pixels from 1, in any run.
func TestPlacesInTheRecord(t *testing.T) {
	p := prop.Porthole() // 36, 48 and 60 pixels
	for _, row := range []struct {
		ft             strip.Fault
		run            string
		pixel, inRun   int
		channelOfFault string
	}{
		{strip.Fault{Kind: strip.DeadPixel, Pixel: 0}, "inner ring", 1, 1, ""}, {strip.Fault{Kind: strip.DeadPixel, Pixel: 35}, "inner ring", 36, 36, ""}, {strip.Fault{Kind: strip.OpenJoint, Pixel: 36}, "middle ring", 37, 1, ""},
		{strip.Fault{Kind: strip.WrongOrder, Pixel: 143, Order: "RGB"}, "outer ring", 144, 60, ""}, {strip.Fault{Kind: strip.RunMirrored, Run: 0}, "inner ring", 0, 0, ""}, {strip.Fault{Kind: strip.RunsSwapped, Run: 2, Run2: 1}, "outer ring", 0, 0, ""},
		{strip.Fault{Kind: strip.RunMirrored, Run: 3}, "", 0, 0, ""}, {strip.Fault{Kind: strip.RunMirrored, Run: -1}, "", 0, 0, ""}, {strip.Fault{Kind: strip.NoSupply}, "", 0, 0, ""},
		{strip.Fault{Kind: strip.DeadChannel, Pixel: 2, Channel: patterns.Blue}, "inner ring", 3, 3, "blue"},
	} {
		var f Finding
		f.place(p, row.ft)
		assert.Equal(t, Finding{Run: row.run, Pixel: row.pixel, InRun: row.inRun, Channel: row.channelOfFault}, f, "%v", row.ft)
	}
}

// What one entry lacks is named, one thing as well as several.
func TestWhatAnEntryLacks(t *testing.T) {
	e := busy()
	e.Steps = []Step{{Question: "How many light up?", Answer: "36"}}
	last := func(e Entry) Section { all := e.Sections(); return all[len(all)-1] }
	require.NotEqual(t, "Not in this record", last(e).Head)
	e.Volts = nil
	assert.Equal(t, Section{"Not in this record", []string{"volts"}}, last(e))
	e.Joints = nil
	assert.Equal(t, Section{"Not in this record", []string{"joints, volts"}}, last(e))
}

// The labels of a drawing before placement: the numbers at both ends of each run, its
// name in the middle, tenth numbers between, a wire's name half-way, data in at the
// first pixel.
func TestWhatIsWrittenWhere(t *testing.T) {
	p := prop.Porthole()
	d := newDrawing(prop.Layout(p))
	d.lit, _ = p.Lights()
	for r := range p.Runs {
		d.wanted = nil
		first, pts := p.FirstPixel(r), d.at[r]
		d.run(p, r)
		last := len(pts) - 1
		assert.Equal(t, []label{{at: pts[0], text: itoa(first + 1)}, {at: pts[last], text: itoa(first + last + 1)}, {at: pts[len(pts)/2], text: p.Runs[r].Name, bold: true}}, d.wanted)
		d.wanted = nil
		d.tensLabels(p, r)
		var want []label
		for i := 1; i < last; i++ {
			if n := first + i + 1; n%10 == 0 {
				want = append(want, label{at: pts[i], text: itoa(n), tens: true})
			}
		}
		assert.Equal(t, want, d.wanted)
		if r == 0 {
			continue
		}
		d.wanted, d.taken = nil, nil
		d.joint(r)
		a, b := d.at[r-1][len(d.at[r-1])-1], pts[0]
		assert.Equal(t, []label{{at: prop.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}, text: "J" + itoa(r+1), bold: true}}, d.wanted)
		require.NotEmpty(t, d.taken)
		long := math.Hypot(b.X-a.X, b.Y-a.Y)
		for i, k := range d.taken {
			mid := prop.Point{X: (k.x0 + k.x1) / 2, Y: (k.y0 + k.y1) / 2}
			assert.InDelta(t, 4*float64(i), math.Hypot(mid.X-a.X, mid.Y-a.Y), 1e-6)
			assert.InDelta(t, long, math.Hypot(mid.X-a.X, mid.Y-a.Y)+math.Hypot(mid.X-b.X, mid.Y-b.Y), 1e-6, "on the wire")
		}
		assert.Greater(t, 4*float64(len(d.taken)), long-4)
	}
	svg := picture(p)
	assert.Equal(t, len(p.Runs), len(regexp.MustCompile(`<circle [^>]*fill="#333"/>`).FindAllString(svg, -1)), "the first pixel of each run is filled")
	for i, m := range regexp.MustCompile(`<circle [^>]*/>`).FindAllString(svg, -1) {
		assert.Equal(t, (i+1)%10 == 0, strings.Contains(m, `fill="#ccc"`), "and every tenth is grey: pixel %d", i+1)
	}
	two := &prop.Prop{Name: "two", Runs: []prop.Run{{Name: "far", Pixels: 2, Cut: 2}}, Chip: p.Chip}
	at := circles(t, picture(two))
	m := regexp.MustCompile(`<text x="([\d.]+)" y="([\d.]+)"[^>]*>data in<`).FindStringSubmatch(picture(two))
	require.NotNil(t, m)
	v := floats(t, m[1:])
	assert.Less(t, apart(at[0], prop.Point{X: v[0], Y: v[1]}), 60.0, "data comes in at the first pixel")
	assert.Greater(t, apart(at[1], prop.Point{X: v[0], Y: v[1]}), 200.0)
}

// Where a feed joins is marked at its pixel, past the end at the last.
func TestFeedsPastTheEnd(t *testing.T) {
	p := prop.Porthole()
	d := newDrawing(prop.Layout(p))
	for at, want := range map[int]int{0: 0, 36: 36, 143: 143, 144: 143, 999: 143} {
		d.wanted = nil
		d.feed(p, 1, prop.Feed{Pixel: at})
		assert.Equal(t, []label{{at: d.pixel(want), text: "F2", bold: true}}, d.wanted)
	}
	assert.Equal(t, d.at[1][0], d.pixel(36))
	assert.Equal(t, d.at[2][59], d.pixel(143))
	assert.Equal(t, prop.Point{}, d.pixel(144))
}

// Arrows stand half-way along a step, or aside of it where circles leave no
// place, and as many as the run has room for.
func TestArrowsAlongARun(t *testing.T) {
	arrow := regexp.MustCompile(`translate\(([-\d.]+) ([-\d.]+)\)`)
	along := func(n int, step float64) (out []float64) {
		d := &drawing{height: 400, radius: 2}
		pts := make([]prop.Point, n)
		for i := range pts {
			pts[i] = prop.Point{X: 20 + step*float64(i), Y: 200}
		}
		d.arrows(pts)
		for _, m := range arrow.FindAllStringSubmatch(d.body.String(), -1) {
			v := floats(t, m[1:])
			if step >= 14 {
				assert.InDelta(t, 200, v[1], 0.01, "on the way")
			} else {
				assert.InDelta(t, 8, math.Abs(v[1]-200), 0.01, "beside it: the circle, half an arrow and one")
			}
			out = append(out, (v[0]-20)/step)
		}
		return out
	}
	assert.Empty(t, along(1, 20))
	assert.InDeltaSlice(t, []float64{0.5}, along(2, 20), 0.01)
	assert.InDeltaSlice(t, []float64{0.5, 1.5}, along(3, 20), 0.01)
	assert.InDeltaSlice(t, []float64{1.5, 4.5, 7.5}, along(10, 20), 0.51)
	assert.Len(t, along(59, 5), 3)
	assert.Len(t, along(60, 5), 4)
	assert.Len(t, along(120, 5), 5)
}

// An item to buy in one line: amount, name, and its note if it has one.
func TestItemsInALine(t *testing.T) {
	x := shopping.Item{Name: "strip", Quantity: 2, Unit: "reel"}
	assert.Equal(t, x.Amount()+" strip", itemText(x))
	x.Note = "cut at pads"
	assert.Equal(t, x.Amount()+" strip: cut at pads", itemText(x))
	for names, want := range map[string]string{"a": "a", "a b c": "a, b, c", "a b c d": "a, b, c and 1 more", "a b c d e": "a, b, c and 2 more"} {
		assert.Equal(t, want, propNames(strings.Fields(names)))
	}
	long := strings.Repeat("n", 40)
	assert.Equal(t, long, propNames([]string{long}))
	assert.Equal(t, long[1:]+"…", propNames([]string{long + "n"}))
}

// Counts as found on the sheet: a run of one pixel counts like any other, and
// the first pixel of a run is the filled one.
func TestCountsOfRunsOnTheSheet(t *testing.T) {
	p := prop.Porthole()
	p.Runs[0].Pixels = 2
	p.Parts, p.Feeds = nil, nil
	pg := Page{Prop: p}
	entry := func(found ...int) Entry {
		var e Entry
		for i, n := range found {
			e.Runs = append(e.Runs, Run{Name: p.Runs[i].Name, Planned: p.Runs[i].Pixels, Found: n, Travel: "as planned"})
		}
		return e
	}
	whole := []string{"pixels counted and travel seen: as planned in every run"}
	assert.Equal(t, whole, pg.countsFound(entry(2, 48, 60)))
	assert.Equal(t, []string{"inner ring: 1 pixels found, 2 planned"}, pg.countsFound(entry(1, 48, 60)))
	assert.Empty(t, pg.countsFound(entry(0, 48, 60)), "one was not counted")
	assert.Empty(t, pg.countsFound(entry(2, 48)))
	turned := entry(2, 48, 60)
	turned.Runs[1].Travel = "reversed"
	assert.Equal(t, []string{"middle ring: travel found reversed"}, pg.countsFound(turned))
	turned.Runs[1].Travel = ""
	assert.Empty(t, pg.countsFound(turned))
	gone := entry(2, 48, 60)
	gone.Runs[0].Name = "no longer there"
	assert.Empty(t, pg.countsFound(gone))
	svg := picture(p)
	at := circles(t, svg)
	for i, m := range regexp.MustCompile(`<circle [^>]*/>`).FindAllString(svg, -1) {
		_, place := p.Find(i)
		assert.Equal(t, place == 0, strings.Contains(m, `fill="#333"`), "pixel %d of %d", i+1, len(at))
	}
}
