package prop

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/route"
)

// Pieces of marks: letters and digits are pieces of their own where no table
// names them; one inside another is told apart, sharing some holes is refused.
func TestPiecesOfMarks(t *testing.T) {
	sign := func(holes, pieces string) (*Document, error) {
		_, d, err := Parse([]byte(signHead+"[sign]\npitch = \"1 cm\"\nreach = \"9 cm\"\nholes = '''\n"+holes+"\n'''\n"+pieces), "t.toml")
		return d, ButForTheRoute(err)
	}
	piece := func(name, marks string) string { return fmt.Sprintf("[[piece]]\nname = %q\nmarks = %q\n", name, marks) }
	for _, row := range []struct {
		holes, pieces, want string
	}{
		{"a", "", ""}, {"aa", "", ""}, {"ab", "", "a b"}, {"a*", "", "a"}, {"**", "", ""}, {"a1*", "", "a 1"}, {"aA", "", "small a A"}, {"ab", piece("word", "ab"), "word a<word b<word"},
		{"ab", piece("x", "a"), "x b"}, {"abc", piece("w", "abc") + piece("p", "ab"), "w p<w a<p b<p c<w"}, {"ab", piece("B", "a"), "B letter b"}, {"abc", piece("l", "ab") + piece("r", "c"), "l r a<l b<l"},
	} {
		d, err := sign(row.holes, row.pieces)
		require.NoError(t, err, row.holes)
		var got []string
		for _, p := range d.Sign().Plate.Pieces {
			name := p.Name
			if p.In >= 0 {
				name += "<" + d.Sign().Plate.Pieces[p.In].Name
			}
			got = append(got, name)
		}
		assert.Equal(t, row.want, strings.Join(got, " "), "%s %s", row.holes, row.pieces)
	}
	for pieces, want := range map[string]string{piece("x", "ab") + piece("y", "bc"): `"y" shares some of its holes with "x"`, piece("x", "ab") + piece("y", "ba"): `"y" has the same holes as "x"`, piece("x", "z"): `no hole is marked "z": the holes are marked a b c`,
		piece("x", ""): "is empty", "[[piece]]\nname = \"x\"\n": "does not say which holes it is", piece("x", "a") + piece("X", "b"): "is also the name"} {
		_, err := sign("abc", pieces)
		assert.ErrorContains(t, err, want)
	}
	_, err := sign("abcde", piece("1", "abcde")+piece("2", "abcd")+piece("3", "abc")+piece("4", "ab")+piece("a", "a"))
	assert.ErrorContains(t, err, "lies in 5 pieces, and 4 is the most")
	_, err = sign("abcd", piece("1", "abcd")+piece("2", "abc")+piece("3", "ab")+piece("a", "a"))
	assert.NoError(t, err)
}

// What a string that is too short, or cannot reach, is told.
func TestSignsThatCannotBe(t *testing.T) {
	g := &Sign{Plate: route.Plate{Reach: 0.1, Tucked: 1, Pixels: 5, Holes: []route.Hole{{Point: route.Point{}}, {Point: route.Point{X: 0.25}}, {Point: route.Point{X: 0.8}}, {Point: route.Point{X: 0.9}}}},
		Spots: []HoleSpot{{Item: 1}, {Item: 2}, {Row: 3, Column: 4}, {Item: 4}}}
	for n, want := range map[int]string{-1: "one length", 0: "one length", 1: "2 lengths", 4: "5 lengths"} {
		assert.Equal(t, want, reaches(n))
	}
	r := route.Route{Order: []int{0, 1, 2, 3}, Tucked: []int{1, 2, 5, 0}, Dark: 8, LeastDark: 8}
	p := g.RouteProblem(r, nil)
	require.NotNil(t, p)
	assert.Equal(t, "the string has 5 pixels, and every route takes 12: 4 holes and 8 tucked away dark where a step is longer than the cord", p.Text)
	assert.Equal(t, "use a string of 12 or more, a longer cord, or a hole between hole 2 and row 3, column 4, which are 55 cm apart", p.Hint)
	r.LeastDark = 7
	assert.Contains(t, g.RouteProblem(r, nil).Text, "the best route found takes 12")
	r.Tucked = []int{8, 0, 0, 0}
	assert.Equal(t, "use a string of 12 or more", g.RouteProblem(r, nil).Hint, "a long way in is no step between holes")
	r.Tucked = []int{0, 1, 0, 0}
	assert.Contains(t, g.RouteProblem(r, nil).Hint, "between hole 1 and hole 2, which are 25 cm apart")
	for pixels, want := range map[int]bool{0: false, 11: true, 12: false, 13: false} {
		g.Plate.Pixels = pixels
		assert.Equal(t, want, g.RouteProblem(r, nil) != nil, "%d", pixels)
	}
	for enough, want := range map[int]string{20: " or write tucked = 20", 21: ""} {
		e := &route.StepError{From: -1, To: 2, Step: 0.3, Enough: enough}
		assert.Equal(t, "make the lead longer"+want, g.RouteProblem(r, e).Hint)
		assert.Equal(t, "no route was found: the string would begin at the hole in row 3, column 4, 30 cm away", g.RouteProblem(r, e).Text)
		e.From, e.Tucking, e.Allowed = 0, 2, 1
		assert.Equal(t, "use a longer cord, put a hole between them"+want, g.RouteProblem(r, e).Hint)
		assert.Equal(t, "no route was found: from hole 1 to row 3, column 4 it is 30 cm: 2 pixels tucked away in a row, where 1 are allowed", g.RouteProblem(r, e).Text)
	}
	gap := route.Gap{Holes: []int{2}, From: 2, To: 1, Step: 0.55, Piece: -1, Tucking: 5}
	said := g.gapProblem(gap, false)
	assert.Equal(t, "The hole in row 3, column 4 is out of reach of the others: hole 2, 55 cm away, is the nearest, and 2 lengths of cord reach 20 cm", said.Text)
	assert.Equal(t, "use a string whose cord reaches 27.5 cm, put a hole between them or write tucked = 5", said.Hint)
	gap.Tucking = 21
	assert.Equal(t, "use a string whose cord reaches 27.5 cm or put a hole between them", g.gapProblem(gap, false).Hint)
	gap.Tucking, gap.Holes, gap.Piece = 20, []int{2, 3}, 0
	g.Plate.Pieces = []route.Piece{{Name: "word"}}
	said = g.gapProblem(gap, false)
	assert.Contains(t, said.Text, `and the 1 with it are out of reach of the rest of "word"`)
	assert.Equal(t, "use a string whose cord reaches 27.5 cm, put a hole between them, write tucked = 20 or give them to another piece", said.Hint)
	gap.Start = true
	assert.Contains(t, g.gapProblem(gap, false).Text, "the lead and one length reach less")
}

// Where pixels of a string lie that no hole takes: tucked ones beside their step,
// those left over in rows below the plate.
func TestPlacesOfDarkPixels(t *testing.T) {
	g := &Sign{Plate: route.Plate{Reach: 1, Pixels: 9, Holes: []route.Hole{{Point: route.Point{}}, {Point: route.Point{X: 3}}, {Point: route.Point{X: 3, Y: 1}}}}}
	px := g.Pixels(route.Route{Order: []int{0, 1, 2}, Tucked: []int{0, 2, 0}, Dark: 2})
	require.Len(t, px, 9)
	want := []Point{{0, 0}, {1, -0.2}, {2, -0.2}, {3, 0}, {3, 1}, {3, -1.5}, {2, -1.5}, {1, -1.5}, {0, -1.5}}
	for i, w := range want {
		assert.InDelta(t, 0, dist(w, px[i].At), 1e-9, "pixel %d at %v", i, px[i].At)
	}
	assert.Equal(t, []int{0, -1, -1, 1, 2, -1, -1, -1, -1}, []int{px[0].Hole, px[1].Hole, px[2].Hole, px[3].Hole, px[4].Hole, px[5].Hole, px[6].Hole, px[7].Hole, px[8].Hole})
	g.Plate.Pixels = 11
	px = g.Pixels(route.Route{Order: []int{0, 1, 2}, Tucked: []int{0, 2, 0}, Dark: 2})
	assert.InDelta(t, 0, dist(Point{0, -2.5}, px[9].At), 1e-9, "the next row goes the other way: %v", px[9].At)
	assert.InDelta(t, 0, dist(Point{1, -2.5}, px[10].At), 1e-9)
	g.Plate.Start = &route.Point{X: -2}
	px = g.Pixels(route.Route{Order: []int{0, 1, 2}, Tucked: []int{1, 0, 0}, Dark: 1})
	assert.InDelta(t, 0, dist(Point{-1, -0.2}, px[0].At), 1e-9)
	assert.InDelta(t, 1, g.Nearest(), 1e-12)
	assert.Equal(t, []string{"1 in, -0.5 in", "25.4 mm, -12.7 mm"}, []string{(&Sign{Inches: true}).written(Point{0.0254, -0.0127}), (&Sign{}).written(Point{0.0254, -0.0127})})
	assert.Equal(t, "0 mm, 0 mm", (&Sign{}).written(Point{-0.000001, 0.000004}))
	// The lattice of a list: columns from the left, rows from the top.
	columns, rows, at := g.Lattice()
	assert.Equal(t, [2]int{4, 2}, [2]int{columns, rows})
	assert.Equal(t, []HoleSpot{{Column: 1, Row: 2}, {Column: 4, Row: 2}, {Column: 4, Row: 1}}, at)
	for far, ok := range map[float64]bool{399: true, 400: false} {
		far := &Sign{Pitch: 1, Plate: route.Plate{Reach: 1, Holes: []route.Hole{{}, {Point: route.Point{X: far}}}}}
		columns, _, _ = far.Lattice()
		assert.Equal(t, ok, columns > 0)
		far.Plate.Holes[1].Point = route.Point{Y: far.Plate.Holes[1].X}
		columns, _, _ = far.Lattice()
		assert.Equal(t, ok, columns > 0)
	}
	close := &Sign{Pitch: 1, Plate: route.Plate{Reach: 1, Holes: []route.Hole{{}, {Point: route.Point{X: 0.4}}}}}
	columns, _, _ = close.Lattice()
	assert.Zero(t, columns, "two holes in one place")
}

// A string of one pixel lies at its hole.
func TestSignOfOneHole(t *testing.T) {
	next := routed(t, readSign(t, signHead+"[sign]\npitch = \"3 cm\"\nreach = \"7 cm\"\nholes = [\"2, 1\"]\n"), false)
	p := next.Prop()
	require.NotNil(t, p)
	assert.Equal(t, 1, p.Pixels())
	assert.InDelta(t, 0, dist(Point{0.06, 0.03}, Layout(p)[0][0]), 1e-6)
	_, ok := RouteOf(p)
	assert.True(t, ok)
}

// Holes of a list on the lattice of their pitch, by hand; two in one place, or
// a lattice far larger than a screen, have none.
func TestLatticeOfHoles(t *testing.T) {
	lattice := func(pitch float64, xy ...float64) (columns, rows int, at []HoleSpot) {
		g := &Sign{Pitch: pitch, Plate: route.Plate{Reach: 9}}
		for i := 0; i < len(xy); i += 2 {
			g.Plate.Holes = append(g.Plate.Holes, route.Hole{Point: route.Point{X: xy[i], Y: xy[i+1]}})
		}
		return g.Lattice()
	}
	columns, rows, at := lattice(0.05, 0.10, 0.20, 0.25, 0.20, 0.15, 0.30)
	assert.Equal(t, []any{4, 3}, []any{columns, rows})
	assert.Equal(t, []HoleSpot{{Column: 1, Row: 3}, {Column: 4, Row: 3}, {Column: 2, Row: 1}}, at, "row 1 is the highest")
	columns, _, _ = lattice(0, 1, 1, 1.5, 1, 2, 1)
	assert.Equal(t, 3, columns, "without a pitch the nearest two give it")
	columns, rows, _ = lattice(0.05, 0, 0, 0.01, 0)
	assert.Equal(t, []int{0, 0}, []int{columns, rows}, "two in one place")
	for steps, want := range map[float64]int{399: 400, 400: 0} {
		columns, _, _ = lattice(1, 0, 0, steps, 0)
		assert.Equal(t, want, columns)
		_, rows, _ = lattice(1, 0, 0, 0, steps)
		assert.Equal(t, want, rows)
	}
}

// A place aside lies to the right of the way, as far off as asked.
func TestPlacesAside(t *testing.T) {
	for _, row := range []struct{ a, b, want Point }{
		{Point{0, 0}, Point{4, 0}, Point{1, -0.5}}, {Point{0, 0}, Point{0, 4}, Point{0.5, 1}}, {Point{4, 0}, Point{0, 0}, Point{3, 0.5}}, {Point{1, 5}, Point{1, 1}, Point{0.5, 4}},
		{Point{2, 3}, Point{2, 3}, Point{2.125, 2.5}},
	} {
		got := besideLine(row.a, row.b, 0.25, 0.5)
		assert.InDelta(t, row.want.X, got.X, 1e-9, "%+v", row)
		assert.InDelta(t, row.want.Y, got.Y, 1e-9, "%+v", row)
	}
}

// The way data travels is said as the shape has it: round a ring or a star by
// the clock, else along the drawing; and it is read back as it was set.
func TestTravelInTheWordsOfItsShape(t *testing.T) {
	for shape, words := range map[string][2]string{"shape = \"ring\"\n": {"clockwise", "counter-clockwise"}, "shape = \"star\"\npoints = 5\n": {"clockwise", "counter-clockwise"}, "shape = \"line\"\n": {"forward", "backward"}, "corners = [\"0 m, 0 m\", \"1 m, 0 m\"]\n": {"forward", "backward"}} {
		for i, back := range []bool{false, true} {
			d := open(t, plain+shape)
			require.NoError(t, d.SetReverse(0, back))
			got, _ := d.Get(Where{"run", 0, "travel"})
			assert.Equal(t, fmt.Sprintf("%q", words[i]), got, shape)
			assert.Equal(t, back, d.Prop().Runs[0].Reverse)
		}
	}
	for priority, want := range map[uint8]bool{99: true, 100: false, 101: true, 0: true, 200: true} {
		p := prop7(1)
		p.Address.Priority = priority
		assert.Equal(t, want, strings.Contains(FileText(p), "priority"), "%d: 100 is what a file without one has", priority)
	}
}
