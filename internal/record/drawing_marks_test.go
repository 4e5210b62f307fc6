package record

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

func floats(t *testing.T, m []string) (out []float64) {
	t.Helper()
	for _, s := range m {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		out = append(out, v)
	}
	return out
}

// circles returns the centres of all pixels in the picture, in data order.
func circles(t *testing.T, svg string) (out []prop.Point) {
	t.Helper()
	for _, m := range regexp.MustCompile(`<circle cx="([\d.]+)" cy="([\d.]+)"`).FindAllStringSubmatch(svg, -1) {
		v := floats(t, m[1:])
		out = append(out, prop.Point{X: v[0], Y: v[1]})
	}
	return out
}

func apart(a, b prop.Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// The drawing is geometrically similar to the prop, and as large as the page allows.
func TestDrawingIsTrueToShape(t *testing.T) {
	for _, p := range prop.Demos()[:2] {
		svg, height, _ := drawingSVG(p)
		at := circles(t, svg)
		var real []prop.Point
		for _, run := range prop.Layout(p) {
			real = append(real, run...)
		}
		require.Len(t, at, len(real))
		scale := apart(at[0], at[20]) / apart(real[0], real[20])
		for i := range at {
			require.InDelta(t, scale*apart(real[0], real[i]), apart(at[0], at[i]), 0.3)
		}
		lo, hi := prop.Bounds(at)
		wide, high := math.Abs(hi.X-lo.X-(drawWidth-2*drawMargin)) < 0.2, math.Abs(hi.Y-lo.Y-(drawHeight-2*drawMargin)) < 0.2
		assert.True(t, wide || high, "%s is as large as the page allows", p.Name)
		assert.InDelta(t, height, hi.Y-lo.Y+2*drawMargin, 0.2)
		assert.InDelta(t, drawWidth, lo.X+hi.X, 0.2, "in the middle")
	}
}

// Every run has at least three arrows, each near the data line and pointing in data
// direction.
func TestArrowsPointAsDataTravels(t *testing.T) {
	for _, p := range prop.Demos()[:2] {
		svg := picture(p)
		at := circles(t, svg)
		all := regexp.MustCompile(`<path d="M5 0L[^>]*translate\(([-\d.]+) ([-\d.]+)\) rotate\(([-\d.]+)\)`).FindAllStringSubmatch(svg, -1)
		in := map[int]int{}
		for _, m := range all {
			v := floats(t, m[1:])
			tip := prop.Point{X: v[0], Y: v[1]}
			best := 0
			for i := range at {
				if apart(at[i], tip) < apart(at[best], tip) {
					best = i
				}
			}
			require.Less(t, apart(at[best], tip), 20.0)
			run, k := p.Find(best)
			in[run]++
			if k == p.Runs[run].Pixels-1 {
				best--
			}
			sin, cos := math.Sincos(v[2] * math.Pi / 180)
			along := (at[best+1].X-at[best].X)*cos + (at[best+1].Y-at[best].Y)*sin
			require.Greater(t, along/apart(at[best], at[best+1]), 0.9, "%s, pixel %d", p.Name, best+1)
		}
		for r := range p.Runs {
			assert.GreaterOrEqual(t, in[r], 3, "run %d", r)
		}
	}
	assert.Zero(t, strings.Count(picture(prop.BuoyLamp()), "M5 0L"), "one pixel has no way")
}

// Joints connect the last pixel of a run to the first of the next. The data line passes
// every pixel of its run.
func TestJointsAndWays(t *testing.T) {
	p := prop.Porthole()
	svg := picture(p)
	at := circles(t, svg)
	joints := regexp.MustCompile(`<line x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)" stroke="#a33"`).FindAllStringSubmatch(svg, -1)
	require.Len(t, joints, len(p.Runs)-1)
	for i, m := range joints {
		v := floats(t, m[1:])
		first := p.FirstPixel(i + 1)
		assert.InDelta(t, 0, apart(at[first-1], prop.Point{X: v[0], Y: v[1]}), 0.2)
		assert.InDelta(t, 0, apart(at[first], prop.Point{X: v[2], Y: v[3]}), 0.2)
	}
	ways := regexp.MustCompile(`<path d="M([^"]*)" fill="none"`).FindAllStringSubmatch(svg, -1)
	require.Len(t, ways, len(p.Runs))
	for r, w := range ways {
		pts := strings.Split(w[1], "L")
		require.Len(t, pts, p.Runs[r].Pixels)
		v := floats(t, strings.Fields(pts[0]))
		assert.InDelta(t, 0, apart(at[p.FirstPixel(r)], prop.Point{X: v[0], Y: v[1]}), 0.2)
	}
}

// Texts cover neither each other nor any pixel, stay on the page, and a number
// stands nearest to its own pixel's neighbourhood.
func TestLabelsAreApart(t *testing.T) {
	text := regexp.MustCompile(`<text x="([\d.]+)" y="([\d.]+)" font-size="([\d.]+)"[^>]*>([^<]*)<`)
	for _, p := range prop.Demos() {
		svg, height, every := drawingSVG(p)
		require.Equal(t, 10, every, p.Name)
		at := circles(t, svg)
		var boxes []box
		tens := 0
		for _, m := range text.FindAllStringSubmatch(svg, -1) {
			v := floats(t, m[1:4])
			w := 0.5 * v[2] * float64(len([]rune(m[4])))
			b := box{v[0] - w/2, v[1] - 0.7*v[2], v[0] + w/2, v[1]}
			require.True(t, b.x0 >= 0 && b.y0 >= 0 && b.x1 <= drawWidth && b.y1 <= height, m[4])
			for _, o := range boxes {
				require.False(t, b.hits(o), "%s: %q lies on another text", p.Name, m[4])
			}
			for i, c := range at {
				require.False(t, b.hits(around(c, 0.1)), "%s: %q lies on pixel %d", p.Name, m[4], i+1)
			}
			boxes = append(boxes, b)
			if n, err := strconv.Atoi(m[4]); err == nil {
				require.Less(t, apart(at[n-1], prop.Point{X: v[0], Y: v[1]}), 60.0, "number %d", n)
				if v[2] == tensSize {
					tens++
				}
			}
		}
		require.GreaterOrEqual(t, tens, p.Pixels()/10-2*len(p.Runs))
	}
}

func TestNumberedFarApart(t *testing.T) {
	for pitch, want := range map[float64]int{20: 10, 2.2: 10, 2.1: 50, 0.44: 50, 0.43: 100, 0.22: 100, 0.1: 500, 0.01: 1000} {
		assert.Equal(t, want, numberStep(pitch), "%g", pitch)
	}
}

// Unicode's explicit directional formatting characters (the Unicode Standard
// 15, 23.2 and UAX 9) go, and no others beside them.
func TestPlainDropsDirections(t *testing.T) {
	for _, r := range []rune{0x202a, 0x202b, 0x202c, 0x202d, 0x202e, 0x2066, 0x2067, 0x2068, 0x2069, 0, 7, 0x1b, 0x7f, 0x9b, 0xfffe, 0xffff} {
		assert.Equal(t, "ab", plain("a"+string(r)+"b"), "%U", r)
	}
	for _, r := range []rune{0x2029, 0x202f, 0x2065, 0x206a, 0xfffd, 'é', '灯'} {
		assert.Equal(t, "a"+string(r)+"b", plain("a"+string(r)+"b"), "%U", r)
	}
	for _, s := range []string{"\n", "\r", "\t"} {
		assert.Equal(t, "a b", plain("a"+s+"b"))
	}
}

// The certainty of a finding is written as recorded: in words, in older entries as a
// figure, and not at all for a good or certain finding.
func TestHowSureInTheRecord(t *testing.T) {
	line := func(f Finding) string { return Entry{Findings: []Finding{f}}.findingLines()[0] }
	assert.Equal(t, "dark (likely)", line(Finding{Kind: "x", Text: "dark", Sure: 0.9, Certainty: "likely"}))
	assert.Equal(t, "dark (likely, 90 %)", line(Finding{Kind: "x", Text: "dark", Sure: 0.9}))
	assert.Equal(t, "dark", line(Finding{Kind: "x", Text: "dark", Sure: 0.996}))
	assert.Equal(t, "dark", line(Finding{Kind: "x", Text: "dark"}))
	assert.Equal(t, "sound", line(Finding{Kind: "good", Text: "sound", Sure: 0.9}))
}

// A prop of one pixel that was counted counts as counted.
func TestOnePixelCounted(t *testing.T) {
	p := prop.BuoyLamp()
	e := Entry{Kind: "check-out", At: evening, Verdict: Pass, Runs: []Run{{p.Runs[0].Name, 1, 1, "as planned"}}}
	assert.Contains(t, page(t, p, e).Markdown(), "pixels counted and travel seen: as planned in every run")
}

// The contents have a line a prop, with the page it begins on, and the sums.
func TestContents(t *testing.T) {
	var pages []Page
	for i := range 45 {
		p := prop.BuoyLamp()
		p.Name = fmt.Sprint("Lamp ", i)
		pages = append(pages, page(t, p))
	}
	var all []htmlPage
	for _, pg := range pages {
		all = append(all, newHTMLPage(pg))
	}
	lists, sum := contents(all, 0, 0)
	require.Len(t, lists, 2)
	assert.Len(t, lists[0], 40)
	assert.Equal(t, contentsRow{Name: "Lamp 44", Host: "127.0.0.1", Universes: "10", Amps: "0.81 A", Verdict: "Not checked out yet", Page: 2 + 2*44 + 1, Pixels: 1}, lists[1][4])
	assert.Contains(t, sum, "45 props, 45 pixels, ")
	html := sheet(t, A4, pages...)
	assert.Equal(t, 2+1+2*45, strings.Count(html, "<section"), "contents, shopping list, props")
	assert.Contains(t, html, "page 93 of 93")
	assert.NotContains(t, sheet(t, A4, pages[0]), "Bench sheets")

	assert.Equal(t, 4, strings.Count(html, "both use universe 10 slots 1 to 4 at 127.0.0.1: move one of them."))
	assert.Contains(t, html, "986 more: ringout plan with these files names them all.")
	shorter, _ := contents(all, 0, 5)
	assert.Equal(t, []int{25, 20}, []int{len(shorter[0]), len(shorter[1])})
	assert.Equal(t, 3+2*25, shorter[1][0].Page)
	pages[1].Prop.Address.Universe += 1
	assert.NotContains(t, sheet(t, A4, pages[:2]...), "same slots", "each has its own")
}

// Entries are counted from 1, or from the last one back.
func TestPick(t *testing.T) {
	h := History{Entries: []Entry{{Notes: "a"}, {Notes: "b"}, {Notes: "c"}}}
	for n, want := range map[int]string{1: "a", 2: "b", 3: "c", 0: "c", -1: "b", -2: "a"} {
		e, err := h.Pick(n)
		require.NoError(t, err)
		assert.Equal(t, want, e.Notes, "%d", n)
	}
	for _, n := range []int{4, -3} {
		_, err := h.Pick(n)
		require.EqualError(t, err, fmt.Sprintf("there is no entry %d: give 1 to 3", n))
	}
	_, err := History{}.Pick(0)
	require.EqualError(t, err, "there is no entry 0: the record is empty")
}

// A colour order counts as confirmed only by a check-out that found one.
func TestOrderBorneOut(t *testing.T) {
	p := prop.Porthole()
	assert.Equal(t, "GRB", page(t, p).order())
	assert.Equal(t, "GRB", page(t, p, Entry{Kind: "check-out", At: evening, Verdict: Pass}).order())
	assert.Equal(t, "GRB (checked)", page(t, p, Entry{Kind: "check-out", At: evening, Verdict: Pass, Order: "GRB"}).order())
}

func TestParagraphs(t *testing.T) {
	assert.Equal(t, []string{"a damp evening", "iron too cold"}, paragraphs("a damp evening\n\n  \n iron too cold \n"))
	assert.Empty(t, paragraphs(" \n"))
}

// The legend of the drawing names what is in it, and nothing else.
func TestTheLegendNamesWhatIsDrawn(t *testing.T) {
	legend := func(p *prop.Prop) string { return htmlPage{Page: Page{Prop: p}, Every: 10}.legend() }
	all := "Numbers are pixels in data order, every 10th one shaded. Filled circle: first pixel of a run. Triangle: travel of data. J: joint. F and square: feed."
	assert.Equal(t, all, legend(prop.Porthole()))
	assert.Equal(t, "The bulb is one pixel.", legend(prop.BuoyLamp()))
	p := prop.Porthole()
	p.Runs, p.Feeds = p.Runs[:1], nil
	p.Parts = []prop.Part{{Name: "gap", First: 3, Last: 5, Empty: true}}
	text := legend(p)
	assert.Contains(t, text, "Dashed circle: gives no light.")
	assert.NotContains(t, text, "J: joint")
	assert.NotContains(t, text, "feed")
	p.Runs[0].Pixels = 9
	assert.NotContains(t, legend(p), "shaded", "there is no tenth pixel")
}
