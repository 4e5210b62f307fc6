package plan

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
	"example.org/ringout/internal/route"
)

// board is a plate of two rows of three holes, 20 mm from each other, whose
// string begins below on the left, passes hole 3, tucks two pixels away and
// ends on the right; two pixels are left over.
func board() *StringPlan {
	g := &prop.Sign{Pitch: 0.02, Rise: 0.02, Columns: 3, Rows: 2, Plate: route.Plate{Reach: 0.025, Start: &route.Point{X: -0.005, Y: -0.01}, Tucked: 4, Pixels: 10}}
	for row := range 2 {
		for column := range 3 {
			g.Plate.Holes = append(g.Plate.Holes, route.Hole{Point: route.Point{X: 0.02 * float64(column), Y: 0.02 * float64(1-row)}, Piece: -1})
			g.Spots = append(g.Spots, prop.HoleSpot{Row: row + 1, Column: column + 1})
		}
	}
	r := route.Route{Order: []int{3, 0, 1, 4, 2, 5}, Tucked: []int{0, 0, 0, 0, 2, 0}, Dark: 2, LeastDark: 2, Length: 0.12, LeastLength: 0.12}
	p := &prop.Prop{Name: "Board", Runs: []prop.Run{{Name: "string", Pixels: 10}},
		Parts: []prop.Part{{Name: "left", First: 0, Last: 1}, {Name: "tucked", First: 4, Last: 5, Empty: true}, {Name: "end", First: 7, Last: 7}}}
	return &StringPlan{Prop: p, Sign: g, Route: r, Best: r}
}

type mark struct {
	x, y, size float64
	text       string
}

// marks returns the elements of a drawing that match a pattern. Its groups are x, y, a
// size and a text.
func marks(t *testing.T, svg, pattern string) (out []mark) {
	t.Helper()
	for _, m := range regexp.MustCompile(pattern).FindAllStringSubmatch(svg, -1) {
		var k mark
		for i, to := range []*float64{&k.x, &k.y, &k.size} {
			if i+1 < len(m) {
				v, err := strconv.ParseFloat(m[i+1], 64)
				require.NoError(t, err)
				*to = v
			}
		}
		if len(m) > 4 {
			k.text = m[4]
		}
		out = append(out, k)
	}
	return out
}

const number = `(-?[\d.]+)`

// By hand: the outermost holes lie 15 mm inside the drawing, so hole (x, y)
// from the lower left is at 15+x, 35-y of a drawing of 70 by 50 mm.
func TestPlateDrawing(t *testing.T) {
	d := newPlateDrawing(board())
	assert.InDelta(t, 70, d.wide, 1e-9)
	assert.InDelta(t, 50, d.high, 1e-9)
	assert.Less(t, 2*d.radius, 20.0, "circles of neighbours do not touch")
	assert.GreaterOrEqual(t, d.size, leastType)
	want := []mark{{15, 35, 0, "1"}, {15, 15, 0, "2"}, {35, 15, 0, "3"}, {35, 35, 0, "4"}, {55, 15, 0, "7"}, {55, 35, 0, "8"}}
	for _, mirror := range []bool{false, true} {
		x := func(v float64) float64 {
			if mirror {
				return 70 - v
			}
			return v
		}
		svg := d.draw(mirror)
		circles := marks(t, svg, `<circle cx="`+number+`" cy="`+number+`" r="`+number+`"`)
		require.Len(t, circles, 6)
		numbers := marks(t, svg, `<text stroke="none" fill-opacity="1" fill="#111" x="`+number+`" y="`+number+`" font-size="`+number+`">(\d+)<`)
		require.Len(t, numbers, 6)
		for i, w := range want {
			assert.InDelta(t, x(w.x), circles[i].x, 0.011)
			assert.InDelta(t, w.y, circles[i].y, 0.011)
			assert.InDelta(t, d.radius, circles[i].size, 0.011)
			assert.Equal(t, w.text, numbers[i].text)
			assert.InDelta(t, x(w.x), numbers[i].x, 0.011)
			assert.InDelta(t, w.y, numbers[i].y-0.36*numbers[i].size, 0.03, "figures stand in the middle of the circle: they are 0.72 of the type high")
		}
		assert.Contains(t, svg, fmt.Sprintf(`r="%.2f" stroke-width="0.9"`, d.radius), "the first has a thick edge")
		assert.Equal(t, 1, strings.Count(svg, `stroke-width="0.9"`))
		tucked := marks(t, svg, `<rect x="`+number+`" y="`+number+`" width="`+number+`" height="2" fill="#fff"`)
		require.Len(t, tucked, 2)
		for i, p := range d.pixels[4:6] {
			at := d.at(p.At, mirror)
			assert.InDelta(t, at.X, tucked[i].x+1, 0.011)
			assert.InDelta(t, at.Y, tucked[i].y+1, 0.011)
		}
		for i, m := range marks(t, svg, `<text stroke="none" fill-opacity="1" fill="#111" x="`+number+`" y="`+number+`" font-size="`+number+`" fill="#a33">(\d)<`) {
			assert.Less(t, m.y, tucked[i].y, "its number stands above a tucked pixel")
		}
		assert.Contains(t, svg, `fill="#a33">5</text>`)
		assert.Contains(t, svg, `fill="#a33">6</text>`)
		assert.NotContains(t, svg, ">9</text>", "what is left over is not on the plate")

		// The cord goes from each pixel to the next, with an arrow in the middle
		// that points along it.
		lines := marks(t, svg, `<path d="M`+number+` `+number+`L`+number+` (-?[\d.]+)"/>`)
		require.Len(t, lines, 8, "the lead and seven steps")
		assert.InDelta(t, x(15), lines[1].x, 0.011)
		assert.InDelta(t, 35, lines[1].y, 0.011)
		assert.InDelta(t, x(15), lines[1].size, 0.011)
		assert.Equal(t, "15.00", lines[1].text)
		arrows := marks(t, svg, `translate\(`+number+` `+number+`\) rotate\(`+number+`\)`)
		require.NotEmpty(t, arrows)
		found := map[[3]int]bool{}
		for _, a := range arrows {
			found[[3]int{int(math.Round(a.x)), int(math.Round(a.y)), int(math.Round(a.size))}] = true
		}
		along := 0
		if mirror {
			along = 180
		}
		assert.True(t, found[[3]int{int(x(15)), 25, -90}], "up from 1 to 2: %v", found)
		assert.True(t, found[[3]int{int(x(25)), 15, along}], "along from 2 to 3: %v", found)
		assert.True(t, found[[3]int{int(x(35)), 25, 90}], "down from 3 to 4: %v", found)
		assert.True(t, found[[3]int{int(x(55)), 25, 90}], "down from 7 to 8: %v", found)
	}
	assert.Contains(t, d.draw(false), ">data in</text>")
	free := board()
	free.Sign.Plate.Start = nil
	assert.NotContains(t, newPlateDrawing(free).draw(false), "data in")
}

// A lead that starts off the plate is drawn up to the edge of the plate, and its label
// lies on the drawing.
func TestLeadEndsOnTheDrawing(t *testing.T) {
	for _, at := range []route.Point{{X: -3, Y: -3}, {X: 3, Y: 3}, {X: -3, Y: 3}, {X: 3, Y: -3}, {X: 0.01, Y: 0.01}} {
		sp := board()
		sp.Sign.Plate.Start = &at
		d := newPlateDrawing(sp)
		svg := d.draw(false)
		line := marks(t, svg, `<g stroke-dasharray="2 1.2"><path d="M`+number+` `+number+`L`)
		require.Len(t, line, 1)
		words := marks(t, svg, `x="`+number+`" y="`+number+`" font-size="`+number+`" fill="#234"`)
		require.Len(t, words, 1)
		for _, m := range []mark{line[0], words[0]} {
			assert.GreaterOrEqual(t, m.x, 0.99)
			assert.GreaterOrEqual(t, m.y, 0.99)
			assert.LessOrEqual(t, m.y, d.high+6)
		}
		assert.LessOrEqual(t, line[0].x, d.wide-1)
		assert.LessOrEqual(t, line[0].y, d.high-5)
		assert.LessOrEqual(t, words[0].x, d.wide-11, "two words of 3 mm type take 12 mm")
		assert.GreaterOrEqual(t, words[0].size, leastType)
		assert.Greater(t, words[0].y-line[0].y, d.radius, "below the circle that may be there")
	}
	inside := board()
	inside.Sign.Plate.Start = &route.Point{X: 0.01, Y: 0.01}
	svg := newPlateDrawing(inside).draw(false)
	assert.Contains(t, svg, `M25.00 25.00L15.00 35.00`, "10 mm right and up of the lower left hole")
}

// A step without room for an arrow gets none: circles of radius r and an arrow
// of 2 mm between them.
func TestArrowsOnlyWhereThereIsRoom(t *testing.T) {
	d := newPlateDrawing(board())
	for _, row := range []struct {
		long float64
		want bool
	}{{2*d.radius + 1.9, false}, {2*d.radius + 2.1, true}} {
		var b strings.Builder
		d.cord(&b, prop.Point{X: 5, Y: 5}, prop.Point{X: 5 + row.long, Y: 5})
		assert.Equal(t, row.want, strings.Contains(b.String(), "rotate"), b.String())
	}
	for nearest, want := range map[float64]float64{0.002: 1.5, 0.005: 2, 0.010: 4, 0.1: 6} {
		sp := board()
		for i := range sp.Sign.Plate.Holes {
			h := &sp.Sign.Plate.Holes[i]
			h.X, h.Y = h.X/0.02*nearest, h.Y/0.02*nearest
		}
		sp.Sign.Plate.Reach = 1
		d := newPlateDrawing(sp)
		assert.InDelta(t, want, d.radius, 1e-9, "0.4 of %g m, from 1.5 to 6 mm", nearest)
		assert.InDelta(t, min(4.5, max(2.5, 0.8*want)), d.size, 1e-9)
	}
}

// The pages of a plate of any size cover it. Each page overlaps the page before it,
// names its neighbours, and has a line where the edge of the next page lies.
func TestPagesCutThePlate(t *testing.T) {
	for _, row := range []struct {
		across, down float64 // of the plate, between its outermost holes
		paper        string
		sheet        string
		wide, high   float64 // room on a page: the paper without 10 mm margins and a caption of 16 mm
		columns      int
		rows         int
	}{
		{0.04, 0.02, "A4", "A4 portrait", 190, 261, 1, 1},
		{0.160, 0.231, "A4", "A4 portrait", 190, 261, 1, 1},
		{0.161, 0.231, "A4", "A4 portrait", 190, 261, 2, 1},
		{0.247, 0.144, "A4", "A4 landscape", 277, 174, 1, 1},
		{0.247, 0.145, "A4", "A4 portrait", 190, 261, 2, 1},
		{0.220, 0.370, "A4", "A4 landscape", 277, 174, 1, 3},
		{0.400, 0.700, "A4", "A4 portrait", 190, 261, 3, 3},
		{0.165, 0.213, "letter", "letter portrait", 195.9, 243.4, 1, 1},
		{0.229, 0.149, "letter", "letter landscape", 259.4, 179.9, 1, 1},
		{0.160, 0.213, "", " portrait", 190, 243.4, 1, 1},
		{0.229, 0.144, "", " landscape", 259.4, 174, 1, 1},
	} {
		t.Run(fmt.Sprintf("%g by %g on %q", row.across, row.down, row.paper), func(t *testing.T) {
			sp := board()
			for i := range sp.Sign.Plate.Holes {
				h := &sp.Sign.Plate.Holes[i]
				h.X, h.Y = h.X/0.04*row.across, h.Y/0.02*row.down
			}
			var b strings.Builder
			require.NoError(t, sp.WritePages(&b, row.paper))
			doc := b.String()
			require.Contains(t, doc, "size: "+row.sheet+";")
			require.Contains(t, doc, PagesMark)
			wide, high := 1000*row.across+30, 1000*row.down+30
			require.Equal(t, 2*row.columns*row.rows, strings.Count(doc, `<section class="page">`))
			require.Equal(t, row.columns*row.rows > 1, strings.Contains(doc, fmt.Sprintf("Each side is %d pages wide and %d high", row.columns, row.rows)))
			views := regexp.MustCompile(`class="plate" viewBox="`+number+` `+number+` `+number+` `+number+`"><use href="#face(\d)"/>(.*)</svg>`).FindAllStringSubmatch(doc, -1)
			captions := regexp.MustCompile(`Board, (.*)</b> · page (\w+) of \d+ by \d+(.*)`).FindAllStringSubmatch(doc, -1)
			require.Len(t, views, 2*row.columns*row.rows)
			for i, v := range views {
				var box [4]float64
				for k := range box {
					box[k], _ = strconv.ParseFloat(v[k+1], 64)
				}
				n := i % (row.columns * row.rows)
				c, r := n%row.columns, n/row.columns
				assert.InDelta(t, float64(c)*(row.wide-10), box[0], 1e-6)
				assert.InDelta(t, float64(r)*(row.high-10), box[1], 1e-6)
				assert.InDelta(t, row.wide, box[2], 1e-6)
				assert.InDelta(t, row.high, box[3], 1e-6)
				assert.Equal(t, strconv.Itoa(i/(row.columns*row.rows)), v[5])
				assert.Equal(t, string(rune('A'+c))+strconv.Itoa(r+1), captions[i][2])
				joins := ""
				if c+1 < row.columns {
					joins = string(rune('B'+c)) + strconv.Itoa(r+1) + " to the right"
					assert.Contains(t, v[6], fmt.Sprintf("M%.2f %.2fl0.00 %.2f", box[0]+row.wide-10, box[1], row.high), "where the next page begins")
				}
				if r+1 < row.rows {
					if joins != "" {
						joins += ", "
					}
					joins += string(rune('A'+c)) + strconv.Itoa(r+2) + " below"
					assert.Contains(t, v[6], fmt.Sprintf("M%.2f %.2fl%.2f 0.00", box[0], box[1]+row.high-10, row.wide))
				}
				if joins == "" {
					assert.NotContains(t, captions[i][3], "joins")
					assert.Empty(t, v[6])
				} else {
					assert.Contains(t, captions[i][3], "joins "+joins)
				}
			}
			last := views[len(views)-1]
			x, _ := strconv.ParseFloat(last[1], 64)
			y, _ := strconv.ParseFloat(last[2], 64)
			assert.GreaterOrEqual(t, x+row.wide, wide-1e-6, "nothing is cut off")
			assert.GreaterOrEqual(t, y+row.high, high-1e-6)

			// The overview shows the cut, each page as far as the plate goes.
			boxes := marks(t, doc, `<rect x="`+number+`" y="`+number+`" width="`+number+`" height="([\d.]+)" fill="none" stroke="#a33"`)
			if row.columns*row.rows == 1 {
				assert.Empty(t, boxes)
				return
			}
			names := marks(t, doc, `<text x="`+number+`" y="`+number+`" font-size="`+number+`" fill="#a33" text-anchor="middle">(\w+)<`)
			require.Len(t, boxes, row.columns*row.rows)
			for i, k := range boxes {
				h, _ := strconv.ParseFloat(k.text, 64)
				assert.LessOrEqual(t, k.x+k.size, wide+0.02)
				assert.LessOrEqual(t, k.y+h, high+0.02)
				assert.InDelta(t, min(row.wide, wide-k.x), k.size, 0.02)
				assert.InDelta(t, min(row.high, high-k.y), h, 0.02)
				assert.InDelta(t, k.x+k.size/2, names[i].x, 0.02, "the name is in the middle")
				assert.InDelta(t, k.y+h/2, names[i].y, 0.02)
				assert.InDelta(t, 6*max(wide, high)/170, names[i].size, 0.02, "6 mm on an overview of 170 mm")
			}
		})
	}
}

// Columns are named as in a table: A to Z, AA, AB.
func TestColumnNames(t *testing.T) {
	for c, want := range map[int]string{0: "A", 1: "B", 25: "Z", 26: "AA", 27: "AB", 51: "AZ", 52: "BA"} {
		assert.Equal(t, want, letters(c))
	}
}

// The string's facts, by hand: 6 holes and 2 tucked pixels are 8 of 10, the fifth
// and sixth lie between hole 2 of the second row and hole 3 of the first.
func TestFactsOfTheBoard(t *testing.T) {
	sp := board()
	facts := sp.Facts()
	assert.Equal(t, []string{
		"6 holes take 6 pixels, and 2 more are tucked away dark on the way; 12 cm from hole to hole along the string",
		"proven: no route tucks away fewer pixels, and none that tucks away as few is shorter",
		"pixels 5 to 6 tucked away between the hole in row 2, column 2 and the hole in row 1, column 3, which are 28.3 mm apart",
		"2 pixels are left over at the end of the string: with the power off cut off or tucked away, they stay dark",
		"left: pixels 1 to 2",
		"end: pixel 8",
	}, facts)
	sp.Prop.Runs[0].Pixels = 9
	assert.Contains(t, sp.Facts()[3], "1 pixel is left over at the end of the string: with the power off cut off or tucked away, it stays dark")
	sp.Prop.Runs[0].Pixels = 8
	assert.NotContains(t, strings.Join(sp.Facts(), "\n"), "left over")
	sp.Route.Tucked, sp.Route.Dark = []int{1, 0, 0, 0, 0, 0}, 1
	assert.Contains(t, strings.Join(sp.Facts(), "\n"), "and 1 more is tucked away")
	// From (-5, -10) mm to (0, 0): 11.2 mm.
	assert.Contains(t, strings.Join(sp.Facts(), "\n"), "pixel 1 tucked away between where the data comes in and the hole in row 2, column 1, which are 11.2 mm apart")
	sp.Route.Tucked, sp.Route.Dark = make([]int, 6), 0
	assert.Contains(t, sp.Facts()[0], "none of them tucked away")
	assert.NotContains(t, strings.Join(sp.Facts(), "\n"), "apart")
}

// The sentences on what is proven follow from the bounds of the route.
func TestWhatIsProven(t *testing.T) {
	said := func(r, best route.Route, inFile bool) string {
		sp := board()
		sp.Route, sp.Best, sp.InFile = r, best, inFile
		r.Order = sp.Route.Order
		return strings.Join(sp.proof(func(v float64) string { return fmt.Sprintf("%g m", v) }), "\n")
	}
	r := route.Route{Dark: 2, LeastDark: 2, Length: 1, LeastLength: 0.9}
	assert.Equal(t, "proven: no route tucks away fewer pixels. Not proven shortest: none is shorter than 0.9 m, so at most 10.0 % could be saved", said(r, r, false))
	r.Dark, r.LeastDark = 4, 3
	assert.Equal(t, "not proven best: every route tucks away at least 3 pixels; whether one does with fewer than 4 is not known", said(r, r, false))
	r.Dark, r.LeastDark = 2, 1
	fewer, shorter := r, r
	fewer.Dark, fewer.Length = 1, 2
	shorter.Length = 0.5
	assert.Contains(t, said(r, fewer, true), "a better route is known than this one of the file: 1 tucked away and 2 m")
	assert.Contains(t, said(r, shorter, true), "2 tucked away and 0.5 m")
	assert.NotContains(t, said(r, shorter, false), "better route is known", "only of one in the file")
	assert.NotContains(t, said(r, r, true), "better", "the same is not better")
	assert.NotContains(t, said(fewer, r, true), "better")
	assert.NotContains(t, said(shorter, fewer, true)+said(fewer, shorter, true), "2 tucked away and 0.5 m", "fewer counts before shorter")
	more := shorter
	more.Dark = 3
	assert.NotContains(t, said(r, more, true), "better", "shorter, but more tucked away")
}

// The text drawing has each number in the column and row of its hole, in columns one
// wider than the widest number. If they do not fit, it is split into strips.
func TestBoardInLetters(t *testing.T) {
	text := board().Text(80)
	assert.Contains(t, text, "from the front\n   2 3 7\n   1 4 8\n")
	assert.Contains(t, text, "mirrored\n   7 3 2\n   8 4 1\n")
	c, ok := board().drawing()
	require.True(t, ok)
	w := &writer{width: 40}
	c.write(w, 4)
	assert.Equal(t, "  columns 1 to 2 from the left:\n   2 3\n   1 4\n  columns 3 to 3 from the left:\n   7\n   8\n", w.String())
	w = &writer{width: 40}
	plateGrid{{0, 10, 0}, {9, 0, 0}}.write(w, 9)
	assert.Equal(t, "      10\n    9\n", w.String(), "three columns of three take all nine; nothing is set where no hole is")
	w = &writer{width: 40}
	plateGrid{{10, 11}}.write(w, 1)
	assert.Equal(t, 2, strings.Count(w.String(), "columns"), "one column at least")
	far := board()
	far.Sign.Columns, far.Sign.Pitch = 0, 0
	far.Sign.Plate.Reach = 0.00001
	assert.Contains(t, far.Text(80), "too close or too far apart")
}

// The route in JSON gives each hole's pixel, place and piece.
func TestBoardForPrograms(t *testing.T) {
	sp := board()
	sp.Sign.Plate.Pieces = []route.Piece{{Name: "mast", In: -1}}
	sp.Sign.Plate.Holes[3].Piece = 0
	j := sp.json()
	assert.Equal(t, jsonHole{Pixel: 1, X: 0, Y: 0, Row: 2, Col: 1, Piece: "mast"}, j.Holes[0])
	assert.Equal(t, jsonHole{Pixel: 7, X: 0.04, Y: 0.02, Row: 1, Col: 3}, j.Holes[4])
	assert.Equal(t, []int{2, 2}, []int{j.Dark, j.Least})
	assert.Equal(t, []float64{0.12, 0.12}, []float64{j.Length, j.Shortest})
	assert.True(t, j.Proven)
	assert.False(t, j.InFile)
}
