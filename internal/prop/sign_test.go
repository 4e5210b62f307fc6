package prop

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/route"
)

const signHead = `name = "Mooring board"
[strip]
chip = "WS2811 5V"
[supply]
volts = "5 V"
amps = "10 A"
[address]
host = "192.0.2.7"
universe = 3
`

// lettersSign is a drawing of two letters and two free holes, 10 holes, in line
// 10 of the file.
const lettersSign = signHead + `[sign]
pitch = "3 cm"
reach = "7 cm"
data_in = "bottom left"
holes = '''
LL.  I
L    I
L    I  *
LLL  I   *
'''
[[piece]]
name = "word"
marks = "LI"
`

func readSign(t *testing.T, text string) *Document {
	t.Helper()
	_, d, err := Parse([]byte(text), "board.toml")
	require.Error(t, err)
	require.NotNil(t, d.Sign(), "%v", err)
	require.NoError(t, ButForTheRoute(err))
	return d
}

func routed(t *testing.T, d *Document, replace bool) *Document {
	t.Helper()
	r, err := route.Solve(&d.Sign().Plate)
	require.NoError(t, err)
	next, err := d.WithRoute(r, replace)
	require.NoError(t, err)
	return next
}

func TestSignIsRead(t *testing.T) {
	g := readSign(t, lettersSign).Sign()
	require.Len(t, g.Plate.Holes, 13)
	assert.Equal(t, [2]int{10, 4}, [2]int{g.Columns, g.Rows})
	// The first row of the drawing is in line 15, three rows of 3 cm above the last.
	assert.Equal(t, HoleSpot{Line: 15, Row: 1, Column: 1, Mark: 'L'}, g.Spots[0])
	assert.InDelta(t, 0.09, g.Plate.Holes[0].Y, 1e-12)
	assert.Equal(t, HoleSpot{Line: 18, Row: 4, Column: 10, Mark: '*'}, g.Spots[12])
	assert.InDelta(t, 0.27, g.Plate.Holes[12].X, 1e-12)
	assert.InDelta(t, 0, g.Plate.Holes[12].Y, 1e-12)
	assert.Equal(t, &route.Point{X: 0, Y: 0}, g.Plate.Start)
	assert.Equal(t, []route.Piece{{Name: "word", In: -1}, {Name: "L", In: 0}, {Name: "I", In: 0}}, g.Plate.Pieces)
	assert.Equal(t, -1, g.Plate.Holes[12].Piece, "a * is a hole on its own")
	assert.Equal(t, 0.07, g.Plate.Reach)
	assert.Equal(t, 4, g.Plate.Tucked)
}

// A drawing begins in the line of its quotes, or in the next where a newline follows them at
// once (TOML 1.0, multi-line strings: that newline is dropped).
func TestLinesOfADrawing(t *testing.T) {
	lines := strings.Count(signHead, "\n")
	for _, row := range []struct {
		written string
		line    int // of the first hole, from the line of the key holes
	}{
		{"'a'", 0}, {"'ab'", 0}, {"' a '", 0}, {"\"a\"", 0}, {"'''a'''", 0}, {"'''a\n'''", 0}, {"'''\na'''", 1}, {"'''\r\na'''", 1}, {"'''\n\na'''", 2}, {"\"\"\"\na\"\"\"", 1}, {"\"\"\"\r\n.\r\na\"\"\"", 2},
	} {
		g := readSign(t, signHead+"[sign]\npitch = \"1 in\"\nreach = \"3 in\"\nholes = "+row.written+"\n").Sign()
		require.NotEmpty(t, g.Spots, "%q", row.written)
		assert.Equal(t, lines+4+row.line, g.Spots[0].Line, "%q", row.written)
	}
}

func TestListedHoles(t *testing.T) {
	d := readSign(t, signHead+"[sign]\nreach = \"3 in\"\npitch = \"1 in\"\nholes = [\n\"a: 0 in, 0 in\",\n\"a: 2, 1\", \"3 in, 1/2 in\"]\n")
	g := d.Sign()
	require.Len(t, g.Plate.Holes, 3)
	assert.Equal(t, HoleSpot{Line: 14, Item: 1, Mark: 'a'}, g.Spots[0])
	assert.Equal(t, 15, g.Spots[1].Line)
	assert.InDelta(t, 0.0508, g.Plate.Holes[1].X, 1e-12)
	assert.InDelta(t, 0.0127, g.Plate.Holes[2].Y, 1e-12)
	assert.Equal(t, "a", g.Plate.Pieces[0].Name)
	assert.True(t, g.Inches)
}

// The route reads back from the file as it was written, pieces are parts, and
// what is tucked away is an empty part.
func TestRouteIsWrittenAndReadBack(t *testing.T) {
	for _, text := range []string{
		lettersSign,
		strings.Replace(lettersSign, "7 cm", "4 cm", 1),
		strings.Replace(lettersSign, "pitch = \"3 cm\"", "pitch = \"1.25 in\"\npixels = 30", 1),
		strings.Replace(lettersSign, "data_in", "lead = \"2 cm\"\ndata_in", 1),
		strings.ReplaceAll(lettersSign, "\n", "\r\n"),
	} {
		d := readSign(t, text)
		want, err := route.Solve(&d.Sign().Plate)
		require.NoError(t, err)
		next := routed(t, d, false)
		p := next.Prop()
		require.NotNil(t, p)
		require.Empty(t, next.Doubts())
		require.True(t, strings.HasPrefix(next.Text(), strings.TrimRight(d.Text(), "\r\n")), "nothing before it is touched")
		got, ok := RouteOf(p)
		require.True(t, ok)
		assert.Equal(t, want.Order, got.Order)
		assert.Equal(t, want.Tucked, got.Tucked)
		_, lit := p.Lights()
		assert.Equal(t, 13, lit)
		assert.Equal(t, max(13+want.Dark, d.Sign().Plate.Pixels), p.Pixels())
		for _, name := range []string{"word", "L", "I"} {
			s, err := p.Section(name)
			require.NoError(t, err)
			sub, err := Sub(p, s)
			require.NoError(t, err)
			_, lit := sub.Lights()
			assert.Equal(t, map[string]int{"word": 11, "L": 7, "I": 4}[name], lit)
			assert.Equal(t, Layout(p)[0][s.First:s.Last+1], Layout(sub)[0], "a part is drawn where it lies")
		}
	}
}

func TestARouteIsKeptUnlessAsked(t *testing.T) {
	d := routed(t, readSign(t, lettersSign+"\n# the end\n"), false)
	r, err := route.Solve(&d.Sign().Plate)
	require.NoError(t, err)
	_, err = d.WithRoute(r, false)
	require.EqualError(t, err, "board.toml line 26: run 1: the file has a route already, and it stays: add --replace to write another over it")
	again, err := d.WithRoute(r, true)
	require.NoError(t, err)
	assert.Equal(t, d.Text(), again.Text(), "the same route over it gives the same file")

	moved := strings.Replace(d.Text(), "LLL  I   *", "LLL  I  * ", 1)
	_, m, err := Parse([]byte(moved), "board.toml")
	require.NoError(t, err)
	require.Len(t, m.Doubts(), 1)
	assert.Contains(t, m.Doubts().Error(), `the run does not light every hole of [sign] once: it is not its string's route: run "ringout plan board.toml --route --replace" for a new one`)
	assert.Empty(t, routed(t, m, true).Doubts())

	own := signHead + "[[run]]\npixels = 5\n[sign]\npitch = \"1 in\"\nreach = \"2 in\"\nholes = \"***\"\n"
	_, o, err := Parse([]byte(own), "board.toml")
	require.NoError(t, err)
	_, err = o.WithRoute(r, true)
	require.ErrorContains(t, err, "the file has runs that are no route of the string")
}

// A new route leaves the parts that someone wrote by hand.
func TestANewRouteKeepsOwnParts(t *testing.T) {
	d := routed(t, readSign(t, lettersSign), false)
	own := "\n[[part]]\nname = \"half\"\nrun = \"string\"\nfirst = 1\nlast = 3\n"
	_, d, err := Parse([]byte(d.Text()+own), "board.toml")
	require.NoError(t, err)
	next := routed(t, d, true)
	assert.Equal(t, 1, strings.Count(next.Text(), own), next.Text())
	want, got := d.Prop().Parts, next.Prop().Parts
	assert.ElementsMatch(t, want, got)
}

// What is wrong with a sign is all said in one go, each with its line.
func TestBadSigns(t *testing.T) {
	for _, row := range []struct{ name, sign, want string }{
		{"nothing", "[sign]\n", "line 10: sign, holes: is missing: draw them|line 10: sign, reach: is missing: write reach"},
		{"no hole", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nholes = ' .. '\n", "line 13: sign, holes: has no hole"},
		{"tab", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nholes = '''\n**\n*\t*\n'''\n", "line 15: sign, holes: row 2 of the drawing has a tab"},
		{"no pitch", "[sign]\nreach = \"1 in\"\nholes = '**'\n", "line 12: sign, pitch: is missing"},
		{"far hole", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nholes = '''\n**\n**              *\n'''\n",
			"line 15: sign, holes: The hole in row 2, column 17 is out of reach of the others: row 2, column 2, 15 in away, is the nearest, and 5 lengths of cord reach 5 in: use a string whose cord reaches 3 in, put a hole between them or write tucked = 14"},
		{"torn piece", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nholes = '''\nab b b b b ba\n'''\n",
			`line 14: sign, holes: The hole in row 1, column 13 is out of reach of the rest of "a": row 1, column 1, 12 in away`},
		{"few pixels", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\npixels = 2\nholes = '***'\n", "line 13: sign, pixels: the string has 2 pixels, and there are 3 holes"},
		{"far lead", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nholes = '***'\nlead = \"1 in\"\ndata_in = \"20 in, 0 in\"\n",
			"line 15: sign, data_in: the nearest hole, row 1, column 3, is 18 in from where the data comes in"},
		{"no place", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nholes = '***'\ndata_in = \"under\"\n", `line 14: sign, data_in: "under" is no place on the plate`},
		{"lead alone", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nholes = '***'\nlead = \"3 in\"\n", "line 14: sign, lead: has nothing to reach from"},
		{"twice", "[sign]\nreach = \"1 in\"\nholes = [\"0 in, 0 in\",\n\"0 in, 0 in\"]\n", "line 13: sign, holes: hole 2 of the list is where hole 1 is"},
		{"list unit", "[sign]\nreach = \"1 in\"\nholes = [\"0, 0\"]\n", "line 12: sign, holes: \"0\" has no unit"},
		{"half overlap", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nholes = 'abc'\n[[piece]]\nmarks = \"ab\"\n[[piece]]\nmarks = \"bc\"\n",
			`line 16: piece 2: "piece 2" shares some of its holes with "piece 1" of line 14`},
		{"unknown mark", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nholes = 'abc'\n[[piece]]\nmarks = \"abd\"\n", `line 15: piece 1, marks: no hole is marked "d": the holes are marked a b c`},
		{"piece alone", "[[piece]]\nmarks = \"a\"\n[[run]]\npixels = 3\n", "line 10: piece 1: a piece belongs to a sign, and there is none"},
		{"all at once", "[sign]\npitch = \"1\"\nreach = \"-1 in\"\ntucked = 99\nholes = '**'\n[[feed]]\nlength = \"1 m\"\nwire = \"18 AWG\"\n",
			"line 11: sign, pitch: \"1\" has no unit|line 12: sign, reach: \"-1 in\" is negative|line 13: sign, tucked: 99 is out of range|line 15: feed 1, at: does not say where it enters"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, d, err := Parse([]byte(signHead+row.sign), "board.toml")
			require.Error(t, err)
			assert.Error(t, ButForTheRoute(err))
			assert.Nil(t, d.Prop())
			for _, w := range strings.Split(row.want, "|") {
				assert.Contains(t, err.Error(), "board.toml "+w)
			}
		})
	}
}

// A mistake in [sign] hides nothing that is certain in spite of it, and nothing
// is said that rests on the mistake.
func TestMistakesInASignHideNothing(t *testing.T) {
	const far = "holes = '''\n**\n**              *\n'''\n"
	for _, row := range []struct{ name, sign, want, not string }{
		{"pitch", "[sign]\nreach = \"1 in\"\npitch = \"1\"\npixels = 2\n" + far, "line 12: sign, pitch: \"1\" has no unit|line 13: sign, pixels: the string has 2 pixels, and there are 5 holes", "out of reach"},
		{"pitch misspelt", "[sign]\nreach = \"1 in\"\npich = \"1 in\"\npixels = 2\n" + far, `did you mean "pitch"|the string has 2 pixels`, "out of reach"},
		{"pitch of a list", "[sign]\nreach = \"1 in\"\npitch = \"1\"\npixels = 1\nholes = [\"0, 0\", \"1, 0\"]\n", "\"1\" has no unit|the string has 1 pixels, and there are 2 holes", "\"0\" has no unit"},
		{"rise", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nrise = \"x\"\npixels = 2\n" + far, "line 13: sign, rise|line 14: sign, pixels", "out of reach"},
		{"reach", "[sign]\nreach = \"far\"\npitch = \"1 in\"\npixels = 2\n" + far, "line 11: sign, reach|line 13: sign, pixels", "out of reach"},
		{"reach misspelt", "[sign]\nreech = \"1 in\"\npitch = \"1 in\"\npixels = 2\n" + far, `did you mean "reach"|line 13: sign, pixels`, "out of reach"},
		{"pixels", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\npixels = \"two\"\n" + far, "line 13: sign, pixels|line 16: sign, holes: The hole in row 2, column 17 is out of reach", "there are 5 holes"},
		{"tucked", "[sign]\nreach = \"5 mm\"\npitch = \"1 in\"\ntucked = 99\n" + far, "line 13: sign, tucked: 99 is out of range|line 16: sign, holes: The hole in row 2, column 17 is out of reach", "write tucked ="},
		{"tucked might do", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\ntucked = 99\n" + far, "line 13: sign, tucked", "out of reach"},
		{"data_in", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\npixels = 2\ndata_in = \"under\"\n" + far, `"under" is no place|line 13: sign, pixels|line 17: sign, holes: The hole in row 2`, "the nearest hole"},
		{"lead", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nlead = \"1\"\ndata_in = \"90 in, 0 in\"\n" + far, "line 13: sign, lead|line 17: sign, holes: The hole in row 2", "the nearest hole"},
		{"piece", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\nholes = \"ab b b b b b ba\"\n[[piece]]\nmarks = \"q\"\n", `no hole is marked "q"`, "out of reach"},
		{"piece, hole", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\n" + far + "[[piece]]\nmarks = \"q\"\n", `no hole is marked "q"|The hole in row 2, column 17 is out of reach of the others`, ""},
		{"bad line", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\npixels = 2\n" + far + "[[run]]\nname = \n", "line 18|line 13: sign, pixels|line 16: sign, holes: The hole in row 2", ""},
		{"bad line of tucked", "[sign]\nreach = \"1 in\"\npitch = \"1 in\"\npixels = 2\ntucked = = 15\n" + far, "line 14|line 13: sign, pixels", "out of reach"},
		{"holes", "[sign]\nreach = \"1 in\"\npixels = 1\nholes = [\"0 in, 0 in\", \"90 in, 0 in\", \"oops\"]\n", "sign, holes", "out of reach"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, d, err := Parse([]byte(signHead+row.sign), "board.toml")
			require.Error(t, err)
			assert.Nil(t, d.Prop())
			assert.Nil(t, d.Sign())
			for _, w := range strings.Split(row.want, "|") {
				assert.Contains(t, err.Error(), w)
			}
			if row.not != "" {
				assert.NotContains(t, err.Error(), row.not)
			}
		})
	}
}

func TestTooFewPixelsSaysWhatForAndWhatHelps(t *testing.T) {
	d := readSign(t, signHead+"[sign]\nreach = \"1 in\"\npitch = \"1 in\"\npixels = 6\nholes = '''\n**  **\n**\n'''\n")
	r, err := route.Solve(&d.Sign().Plate)
	require.NoError(t, err)
	p := d.Sign().RouteProblem(r, nil)
	require.NotNil(t, p)
	// The two pairs are three columns apart: two pixels between them.
	assert.Equal(t, "board.toml line 13: sign, pixels: the string has 6 pixels, and every route takes 8: 6 holes and 2 tucked away dark where a step is longer than the cord: "+
		"use a string of 8 or more, a longer cord, or a hole between row 1, column 2 and row 1, column 5, which are 3 in apart", p.Error())
}

// Three arms that meet in one hole: no hole is out of reach of all others, but
// no string passes all arms.
func TestNoRouteSaysWhereAndWhatHelps(t *testing.T) {
	d := readSign(t, signHead+"[sign]\nreach = \"1 in\"\npitch = \"1 in\"\ntucked = 0\nholes = '''\n  *\n  *\n*****\n'''\n")
	r, err := route.Solve(&d.Sign().Plate)
	var step *route.StepError
	require.ErrorAs(t, err, &step)
	p := d.Sign().RouteProblem(r, step)
	require.NotNil(t, p)
	assert.Regexp(t, `^board.toml line 1[567]: sign, holes: no route was found: from row \d, column \d to row \d, column \d it is .* in: [12] pixels tucked away in a row, where 0 are allowed: `+
		`use a longer cord, put a hole between them or write tucked = 1$`, p.Error())
}

func FuzzSign(f *testing.F) {
	f.Add("ab\n *", "1 in", "3 in", "bottom left", "ab")
	f.Add("a\tb", "0 in", "", "0 in, 0 in", "")
	f.Fuzz(func(t *testing.T, holes, pitch, reach, in, marks string) {
		text := fmt.Sprintf("%s[sign]\nholes = %q\npitch = %q\nreach = %q\ndata_in = %q\n[[piece]]\nmarks = %q\n", signHead, holes, pitch, reach, in, marks)
		_, d, err := Parse([]byte(text), "f.toml")
		if err == nil || ButForTheRoute(err) != nil || len(d.Sign().Plate.Holes) > 40 {
			return
		}
		r, err := route.Solve(&d.Sign().Plate)
		if err != nil {
			return
		}
		next, err := d.WithRoute(r, false)
		require.NoError(t, err, text)
		got, ok := RouteOf(next.Prop())
		require.True(t, ok, next.Text())
		require.Equal(t, r.Order, got.Order)
	})
}
