package canvas

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// cell is one character as a terminal would hold it.
type cell struct {
	r      rune
	fg, bg string
}

// screen reads lines the way a terminal does: SGR 0, 38, 39, 48, 49, 30 to 37,
// 40 to 47, 90 to 97, 100 to 107 (ECMA-48 8.3.117; the bright ones from xterm's
// control sequences document).
func screen(t require.TestingT, lines []string) [][]cell {
	var out [][]cell
	for _, line := range lines {
		var row []cell
		fg, bg := "", ""
		for line != "" {
			if !strings.HasPrefix(line, "\x1b[") {
				r := []rune(line)[0]
				row = append(row, cell{r, fg, bg})
				line = line[len(string(r)):]
				continue
			}
			end := strings.IndexByte(line, 'm')
			require.Positive(t, end, "unfinished escape")
			fg, bg = sgr(t, strings.Split(line[2:end], ";"), fg, bg)
			line = line[end+1:]
		}
		assert.Empty(t, fg+bg, "a line must end with the terminal's own colours")
		out = append(out, row)
	}
	return out
}

func sgr(t require.TestingT, p []string, fg, bg string) (string, string) {
	for i := 0; i < len(p); i++ {
		switch {
		case p[i] == "0":
			fg, bg = "", ""
		case p[i] == "39":
			fg = ""
		case p[i] == "49":
			bg = ""
		case p[i] == "38" || p[i] == "48":
			n := 3
			if p[i+1] == "2" {
				n = 5
			}
			v := strings.Join(p[i+1:i+n], ";")
			if p[i] == "38" {
				fg = v
			} else {
				bg = v
			}
			i += n - 1
		case len(p[i]) == 2 && (p[i][0] == '3' || p[i][0] == '9'):
			fg = p[i]
		case len(p[i]) == 2 && p[i][0] == '4':
			bg = "3" + p[i][1:]
		case len(p[i]) == 3 && strings.HasPrefix(p[i], "10"):
			bg = "9" + p[i][2:]
		default:
			require.Fail(t, "unknown SGR "+p[i])
		}
	}
	return fg, bg
}

// halves are the inks of the upper and the lower half of a cell.
func halves(c cell) (up, low string) {
	switch c.r {
	case '▀':
		return c.fg, c.bg
	case '■', '▪', '•', '░', '▒': // a mark has the whole cell
		return c.fg, c.fg
	case '▄':
		return c.bg, c.fg
	case '█':
		return c.fg, c.fg
	}
	return c.bg, c.bg
}

func bare(k ink) string { return strings.TrimPrefix(string(k.append(nil, 0)), "38;") }

func ring(n int) *prop.Prop {
	return &prop.Prop{Runs: []prop.Run{{Name: "ring", Pixels: n, Shape: prop.Shape{Kind: prop.Ring, Diameter: 0.3}}}}
}

func TestEveryPixelHasOnePlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(append(prop.Demos(), ring(1), ring(24))).Draw(t, "prop")
		view := rapid.SampledFrom([]View{Shape, Rows}).Draw(t, "view")
		depth := rapid.SampledFrom([]style.Depth{style.Letters, style.True}).Draw(t, "depth")
		w, h := rapid.IntRange(14, 100).Draw(t, "w"), rapid.IntRange(4, 40).Draw(t, "h")
		c := New(p, nil, view, w, h, depth)
		seen := make([]int, p.Pixels())
		for _, r := range c.rows {
			for _, s := range r.spots {
				assert.Less(t, s.col, w)
				for _, i := range append(append([]int32{}, s.up...), s.low...) {
					seen[i]++
				}
			}
		}
		for i, n := range seen {
			if p.Pixels() == 1 { // a disc of many cells
				assert.Positive(t, n)
				continue
			}
			assert.Equal(t, 1, n, "pixel %d", i)
		}
		require.Len(t, c.Lines(), h)
		for _, l := range c.Lines() {
			assert.Equal(t, w, ansi.StringWidth(l), "%q", l)
		}
	})
}

// What is alike on both sides of the middle is drawn alike: a ring has no dent.
func TestARingIsRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := 4 * rapid.IntRange(3, 20).Draw(t, "quarter")
		w, h := rapid.IntRange(14, 100).Draw(t, "w"), rapid.IntRange(4, 40).Draw(t, "h")
		p := ring(n)
		c := New(p, nil, Shape, w, h, style.True)
		at := make([][2]int, n)
		for y, r := range c.rows {
			for _, s := range r.spots {
				for _, i := range s.up {
					at[i] = [2]int{s.col, 2 * y}
				}
				for _, i := range s.low {
					at[i] = [2]int{s.col, 2*y + 1}
				}
			}
		}
		for i := range n {
			other := at[(n-i)%n] // on the other side of the first pixel, which is at the top
			assert.Equal(t, 2*at[0][0], at[i][0]+other[0], "pixel %d of %d, %d wide, %d high", i, n, w, h)
			assert.Equal(t, at[i][1], other[1], "pixel %d", i)
		}
	})
}

// A terminal that got only the changed lines must show what one shows that
// got a whole new drawing, and each place the light of its brightest pixel.
func TestDrawingShowsTheLight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		depth := rapid.SampledFrom([]style.Depth{style.Sixteen, style.Cube256, style.True}).Draw(t, "depth")
		p := rapid.SampledFrom(prop.Demos()).Draw(t, "prop")
		c := New(p, nil, Shape, 40, 20, depth)
		colour := rapid.Custom(func(t *rapid.T) patterns.Colour {
			if rapid.Bool().Draw(t, "dark") {
				return patterns.Colour{}
			}
			b := rapid.Byte()
			return patterns.Colour{R: b.Draw(t, "r"), G: b.Draw(t, "g"), B: b.Draw(t, "b"), W: b.Draw(t, "w")}
		})
		var f patterns.Frame
		level := 1.0
		for range 3 {
			f = rapid.SliceOfN(colour, p.Pixels(), p.Pixels()).Draw(t, "frame")
			level = rapid.SampledFrom([]float64{0, 0.03, 0.2, 1}).Draw(t, "level")
			c.SetFrame(f, level)
		}
		fresh := New(p, nil, Shape, 40, 20, depth)
		fresh.SetFrame(f, level)
		assert.Equal(t, fresh.Lines(), c.Lines())
		got := screen(t, c.Lines())
		if level == 0 {
			level = 1
		}
		want := func(at []int32) string {
			light := pick(f, at)
			if light.Dark() && c.dotted() {
				return bare(dotInk[depth])
			}
			return bare(inkOf(light, level, depth))
		}
		for y, r := range c.rows {
			for _, s := range r.spots {
				up, low := halves(got[y][s.col])
				if len(s.up) > 0 {
					assert.Equal(t, want(s.up), up)
				}
				if len(s.low) > 0 {
					assert.Equal(t, want(s.low), low)
				}
				if c.dotted() && !c.fine {
					assert.Equal(t, pick(f, s.up).Dark(), got[y][s.col].r == '•', "a dark pixel has a sign of its own")
				}
			}
		}
	})
}

// By hand: a ring's first pixel is at the top; half of 4 later at the bottom.
func TestRingStandsUpright(t *testing.T) {
	c := New(ring(4), nil, Shape, 9, 5, style.Letters)
	c.SetFrame(patterns.Frame{{R: 255}, {G: 255}, {B: 255}, {W: 255}}, 1)
	var at [4]string
	for y, l := range c.Lines() {
		for x, r := range []rune(l) {
			if i := strings.IndexRune("RGBW", r); i >= 0 {
				at[i] = fmt.Sprint(x, ",", y)
			}
		}
	}
	assert.Equal(t, [4]string{"4,0", "8,2", "4,4", "0,2"}, at, "\n%s", strings.Join(c.Lines(), "\n"))
}

func TestLetters(t *testing.T) {
	for _, row := range []struct {
		c    patterns.Colour
		want string
	}{
		{patterns.Colour{}, DarkSign},
		{patterns.Colour{R: 255}, "R"},
		{patterns.Colour{G: 255}, "G"},
		{patterns.Colour{B: 255}, "B"},
		{patterns.Colour{R: 255, G: 255}, "Y"},
		{patterns.Colour{R: 255, B: 255}, "M"},
		{patterns.Colour{G: 255, B: 255}, "C"},
		{patterns.Colour{R: 255, G: 255, B: 255}, "W"},
		{patterns.Colour{W: 255}, "W"},
		{patterns.Colour{C: 255}, "W"},
		{patterns.Colour{R: 60}, "r"},
	} {
		assert.Equal(t, row.want, letter(row.c, 1), "%v", row.c)
	}
	assert.Equal(t, "R", string(letter(patterns.Colour{R: 51}, 0.2)), "full light at 20 %")
}

// Source: xterm's 256 colours: the cube's steps are 0, 95, 135, 175, 215, 255.
func TestCubeIsNearest(t *testing.T) {
	steps := []int{0, 95, 135, 175, 215, 255}
	for v := range 256 {
		got, best := steps[CubeStep(v)], 1000
		for _, s := range steps {
			best = min(best, max(s-v, v-s))
		}
		assert.Equal(t, best, max(got-v, v-got), "value %d", v)
	}
}

// What is brighter on the strip must be no darker on the screen.
func TestLiftKeepsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(1, 255).Draw(t, "a"), rapid.Float64Range(1, 255).Draw(t, "b")
		level := rapid.Float64Range(0.01, 1).Draw(t, "level")
		ra, _, _ := lift([3]float64{a, 0, 0}, a/255/level, level)
		rb, _, _ := lift([3]float64{b, 0, 0}, b/255/level, level)
		if a < b {
			assert.LessOrEqual(t, ra, rb)
		}
		assert.Greater(t, ra, 46, "lit must differ from the mat, and from dark pixels by hue or light")
	})
}

func BenchmarkEveryCellChanges(b *testing.B) {
	p := &prop.Prop{Runs: []prop.Run{{Pixels: 120 * 37, Shape: prop.Shape{Kind: prop.Line}}}}
	c := New(p, nil, Rows, 120, 50, style.True)
	f := make(patterns.Frame, p.Pixels())
	b.ReportAllocs()
	for n := 0; b.Loop(); n++ {
		for i := range f {
			f[i] = patterns.Colour{R: uint8(i + n), G: uint8(3*i + 7*n), B: uint8(n)}
		}
		c.SetFrame(f, 1)
	}
	b.ReportMetric(float64(len(strings.Join(c.Lines(), ""))), "bytes/frame")
}

// BenchmarkHandBuilt is the yardstick of the one above: as many cells as marks
// with gaps, each with an escape of its own, lines made by the shortest loop.
func BenchmarkHandBuilt(b *testing.B) {
	f, lines, buf := make(patterns.Frame, 120*37), make([]string, 37), []byte(nil)
	for n := 0; b.Loop(); n++ {
		for i := range f {
			f[i] = patterns.Colour{R: uint8(i + n), G: uint8(3*i + 7*n), B: uint8(n)}
		}
		for l := range lines {
			buf = buf[:0]
			for _, c := range f[l*120 : (l+1)*120] {
				buf = append(buf, "\x1b[38;2;"...)
				buf = strconv.AppendUint(buf, uint64(c.R), 10)
				buf = append(buf, ';')
				buf = strconv.AppendUint(buf, uint64(c.G), 10)
				buf = append(buf, ';')
				buf = strconv.AppendUint(buf, uint64(c.B), 10)
				buf = append(buf, "m■"...)
			}
			lines[l] = string(buf)
		}
	}
	b.ReportMetric(float64(len(strings.Join(lines, ""))), "bytes/frame")
}

func BenchmarkOnePixelChanges(b *testing.B) {
	p := prop.Porthole()
	c := New(p, nil, Shape, 58, 26, style.True)
	f := make(patterns.Frame, p.Pixels())
	b.ReportAllocs()
	for n := 0; b.Loop(); n++ {
		f[n%len(f)].R++
		c.SetFrame(f, 1)
	}
}

// Windows of any size have a drawing of no more rows, even where they have a column or
// none.
func TestWindowsOfAnySize(t *testing.T) {
	for _, p := range append(prop.Demos(), ring(1), ring(24)) {
		for w := range 20 {
			for h := range 14 {
				for _, view := range []View{Shape, Rows} {
					require.LessOrEqual(t, len(New(p, nil, view, w, h, style.True).Lines()), max(1, h), "%s %dx%d", p.Name, w, h)
				}
			}
		}
	}
}
