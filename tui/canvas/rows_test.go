package canvas

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// Rows of pixels use the height and the width there is: a free column after each pixel where that
// takes no more rows, an empty line between runs. A pixel is one sign in one whole cell, in any room.
func TestRowsUseTheRoom(t *testing.T) {
	p := &prop.Prop{Runs: []prop.Run{{Pixels: 40}, {Pixels: 30}}}
	lit := make(patterns.Frame, 70)
	for i := range lit {
		lit[i] = patterns.Colour{R: 255}
	}
	for _, row := range []struct {
		width, height, lines int // lines from the first to the last
		wide                 bool
	}{{50, 2, 2, false}, {50, 4, 3, false}, {50, 20, 3, false}, {90, 2, 2, false}, {90, 3, 3, true}, {90, 20, 3, true}, {30, 20, 5, false}} {
		for _, d := range []style.Depth{style.True, style.Letters} {
			c := New(p, nil, Rows, row.width, row.height, d)
			c.SetFrame(lit, 1)
			sign := map[style.Depth]string{style.True: "■", style.Letters: "R"}[d]
			all := ansi.Strip(strings.Join(c.Lines(), ""))
			assert.Equal(t, 70, strings.Count(all, sign), "%v", row)
			assert.NotRegexp(t, `[\x{2580}-\x{259f}]`, all, "%v", row)
			assert.Equal(t, row.wide, strings.Contains(all, sign+" "+sign), "%v: %s", row, all)
			_, after := c.Used()
			assert.Equal(t, row.lines, after, "%v", row)
			assert.Equal(t, 70, strings.Count(strings.Join(c.Signs(nil, []string{"#"}), ""), "#"))
		}
	}
}

func TestOnlyChangedRowsAreWritten(t *testing.T) {
	p := prop.Porthole()
	c := New(p, nil, Shape, 60, 30, style.True)
	f := make(patterns.Frame, p.Pixels())
	c.SetFrame(f, 0.2)
	before := append([]string(nil), c.Lines()...)
	f[0] = patterns.Colour{R: 51}
	c.SetFrame(f, 0.2)
	changed := 0
	for i, l := range c.Lines() {
		if l != before[i] {
			changed++
		}
	}
	assert.Equal(t, 1, changed)
}

func TestFewEscapes(t *testing.T) {
	p := &prop.Prop{Runs: []prop.Run{{Pixels: 30, Shape: prop.Shape{Kind: prop.Line}}}}
	c := New(p, nil, Rows, 60, 1, style.True)
	f := make(patterns.Frame, 30)
	for i := range f {
		f[i] = patterns.Colour{G: 255}
	}
	c.SetFrame(f, 1)
	assert.Equal(t, 3+3+3, strings.Count(c.Lines()[0], "\x1b["), "one for each ten, each arrowhead, the number, the triangle and the end: %q", c.Lines()[0])
}

// By hand: in tens a run of 25 would have two arrowheads, so it stands in fives, in rows of about
// the same length close together.
func TestRowsCountInFivesForTheWay(t *testing.T) {
	p := &prop.Prop{Runs: []prop.Run{{Pixels: 25, Shape: prop.Shape{Kind: prop.Line}}, {Pixels: 3, Shape: prop.Shape{Kind: prop.Line}}}}
	c := New(p, nil, Rows, 25, 4, style.Letters)
	f := make(patterns.Frame, 28)
	f[0], f[9], f[10], f[24], f[25] = patterns.Colour{R: 255}, patterns.Colour{G: 255}, patterns.Colour{B: 255}, patterns.Colour{W: 255}, patterns.Colour{R: 255, B: 255}
	c.SetFrame(f, 1)
	assert.Equal(t, []string{
		" 1▶R••••›••••G›B••••    ",
		"16 •••••›••••W›         ",
		"                        ",
		"26›M••››                 ",
	}, pad(c.Lines(), 24))
	assert.Equal(t, 1, c.Per())
}

func pad(lines []string, n int) []string {
	out := append([]string(nil), lines...)
	for i := range out[:3] {
		out[i] = string([]rune(out[i])[:n])
	}
	return out
}

func TestTooManyPixelsShareMarks(t *testing.T) {
	p := &prop.Prop{Runs: []prop.Run{{Pixels: 5000, Shape: prop.Shape{Kind: prop.Line}}}}
	c := New(p, nil, Rows, 60, 10, style.Letters)
	assert.Greater(t, c.Per(), 1)
	f := make(patterns.Frame, 5000)
	f[4999] = patterns.Colour{B: 9}
	c.SetFrame(f, 0.03)
	assert.Equal(t, 1, strings.Count(strings.Join(c.Lines(), ""), "B"))
}

// A run that is longer or shorter than planned is drawn as it is.
func TestLightOfOtherLength(t *testing.T) {
	p := prop.Porthole()
	s, err := strip.New(p, strip.Fault{Kind: strip.Count, Run: 2, N: 4})
	require.NoError(t, err)
	f := make(patterns.Frame, p.Pixels())
	for i := range f {
		f[i] = patterns.Colour{R: 255}
	}
	l := s.Shine(f)
	c := New(p, Counts(l), Rows, 90, 20, style.Letters)
	require.True(t, c.Fits(Counts(l)))
	c.SetLight(l, 1)
	all := strings.Join(c.Lines(), "")
	assert.Equal(t, l.Lit(), strings.Count(all, "R"))
	assert.Equal(t, 148-l.Lit(), strings.Count(all, DarkSign))
	assert.False(t, New(p, nil, Rows, 90, 20, style.Letters).Fits(Counts(l)))
}

// Where a mark stands for several pixels, the first and the last of a run show the light
// of that pixel alone: a question is about it, and the next one may be brighter.
func TestMarksAtTheEndsShowOnePixel(t *testing.T) {
	p := &prop.Prop{Runs: []prop.Run{{Pixels: 41, Shape: prop.Shape{Kind: prop.Line}}}}
	c := New(p, nil, Rows, 26, 2, style.Letters)
	require.Equal(t, 2, c.Per())
	f := make(patterns.Frame, 41)
	for i := range f {
		f[i] = patterns.Colour{R: 255, G: 255, B: 255}
	}
	f[0], f[40] = patterns.Colour{G: 255}, patterns.Colour{R: 255}
	c.SetFrame(f, 1)
	all := strings.Join(c.Lines(), "")
	assert.Equal(t, 1, strings.Count(all, "G"), all)
	assert.Equal(t, 1, strings.Count(all, "R"), all)
	assert.Equal(t, 19, strings.Count(all, "W"), all)
}

// On a straight stretch all pixels are as far apart: a gap in the light is one of the
// prop's, and not of the rounding. At any size of the window.
func TestStraightStretchesHaveEvenGaps(t *testing.T) {
	for width := 90; width <= 240; width += 7 {
		c := New(prop.Pennant(), nil, Shape, width, 60, style.Letters)
		steps, at := map[int]int{}, map[int]int{}
		for y := range c.rows {
			for _, s := range c.rows[y].spots {
				for _, i := range append(slices.Clone(s.up), s.low...) {
					at[int(i)] = s.col
				}
			}
		}
		first, all := prop.Pennant().Runs[0].Pixels, prop.Pennant().Pixels()
		for i := 1; i < all; i++ {
			if i < first/3-1 || i > first { // the first side, and the tail
				steps[at[i]-at[i-1]]++
			}
		}
		assert.Len(t, steps, 1, "width %d: %v", width, steps)
	}
}

// The arrowheads of a run stand along it and not at its end: no two are neighbours where
// its row has room for gaps.
func TestHeadsOfRowsAreSpread(t *testing.T) {
	for _, p := range prop.Demos() {
		for width := 18; width <= 120; width++ {
			if width == 25 { // 21 cells: 18 marks and three gaps leave no cell after the last
				continue
			}
			for _, height := range []int{4, 5, 8, 14, 30} {
				c := New(p, nil, Rows, width, height, style.Letters)
				all := strings.Join(c.Lines(), "\n")
				if c.Per() < 8 && !p.Bulb() {
					assert.NotContains(t, all, "››", "%s %dx%d", p.Name, width, height)
				}
			}
		}
	}
}

// Rows of a run stand closer to one another than runs do, where there is room, and all
// pixels have theirs.
func TestRowsOfARunStandTogether(t *testing.T) {
	p := prop.Porthole()
	for height := 6; height <= 40; height++ {
		c := New(p, nil, Rows, 40, height, style.Letters) // 30 pixels a row: two rows a run
		lines := c.Lines()
		assert.Len(t, lines, height)
		var at []int
		for i, l := range lines {
			if strings.Contains(l, DarkSign) {
				at = append(at, i)
			}
		}
		assert.Equal(t, p.Pixels(), strings.Count(strings.Join(lines, ""), DarkSign), height)
		if height >= 11 {
			for i := 1; i+1 < len(at); i += 2 {
				assert.Greater(t, at[i+1]-at[i], at[i]-at[i-1], "height %d: %v", height, at)
			}
		}
	}
}

// In rows of any size all runs have groups of the same number of pixels, ten or five where a mark
// is at most five pixels, and no line within a run is empty.
func TestRowsOfAllRunsAreAlike(t *testing.T) {
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant()} {
		for width := 20; width <= 120; width += 3 {
			for height := 3; height <= 24; height++ {
				c := New(p, nil, Rows, width, height, style.True)
				name := fmt.Sprint(p.Name, " ", width, "x", height)
				if c.Per() > 5 || len(c.rows) == 0 {
					continue
				}
				group := c.group * c.Per()
				assert.Contains(t, []int{5, 10}, group, name)
				ended := false
				for i := range c.rows {
					r := &c.rows[i]
					if len(r.spots) == 0 {
						assert.True(t, ended, "%s: line %d within a run", name, i)
						continue
					}
					ended = r.ends
					for k := 1; k < len(r.spots); k++ {
						gap := r.spots[k].col > r.spots[k-1].col+c.pitch
						assert.Equal(t, k%c.group == 0, gap, "%s: line %d, mark %d", name, i, k)
					}
				}
			}
		}
	}
}

// With more runs than rows all pixels are still shown, run after run, in as many marks as the room
// allows: an arrowhead before each run, its first and last pixel seen, a free column between runs.
func TestRunsFlowWhereTheyAreMoreThanRows(t *testing.T) {
	p := &prop.Prop{}
	f := patterns.Frame{}
	for i := range 18 {
		n := 11 + i
		p.Runs = append(p.Runs, prop.Run{Pixels: n})
		run := make(patterns.Frame, n)
		for k := range run {
			run[k] = patterns.Colour{G: 255}
		}
		run[0], run[n-1] = patterns.Colour{R: 255}, patterns.Colour{B: 255}
		f = append(f, run...)
	}
	for _, row := range []struct{ width, height, per int }{{100, 6, 1}, {50, 10, 1}, {62, 5, 2}, {36, 5, 5}, {200, 17, 1}} {
		c := New(p, nil, Rows, row.width, row.height, style.Letters)
		c.SetFrame(f, 1)
		assert.Equal(t, row.per, c.Per(), "%v", row)
		all := ansi.Strip(strings.Join(c.Lines(), "\n"))
		require.Len(t, c.Lines(), row.height)
		for _, sign := range []string{"R", "B"} {
			assert.Equal(t, 18, strings.Count(all, sign), "%v: first or last pixels\n%s", row, all)
		}
		assert.Equal(t, 18, len(regexp.MustCompile(`[›▶]R`).FindAllString(strings.NewReplacer("\n", "", " ", "").Replace(regexp.MustCompile(`(?m)^ *[0-9]+`).ReplaceAllString(all, "")), -1)), "%v\n%s", row, all)
		if row.per == 1 {
			assert.Equal(t, len(f), strings.Count(all, "R")+strings.Count(all, "G")+strings.Count(all, "B"), "%v\n%s", row, all)
		}
		for _, line := range strings.Split(all, "\n") {
			assert.LessOrEqual(t, ansi.StringWidth(line), row.width, "%v", row)
		}
		run, at, ok := c.At(len(fmt.Sprint(len(f)))+1, 0)
		assert.True(t, ok && run == 0 && at == 0)
	}
}
