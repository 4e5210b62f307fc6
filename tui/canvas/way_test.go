package canvas

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// Every drawing of a size that pages use shows where data enters and has three
// arrowheads on every run of more than a pixel, in cells without a pixel.
func TestTheWayIsDrawn(t *testing.T) {
	for _, p := range prop.Demos() {
		if p.Bulb() {
			continue // the network reaches it
		}
		for _, v := range []View{Shape, Rows} {
			for _, size := range [][2]int{{40, 12}, {46, 22}, {58, 26}, {100, 40}, {190, 50}} {
				name := fmt.Sprint(p.Name, v, size)
				c := New(p, nil, v, size[0], size[1], style.Letters)
				if v == Shape && c.Crowded() > 0 {
					continue // pages turn to rows there
				}
				all := strings.Join(c.Lines(), "\n")
				assert.Equal(t, 1, strings.Count(all, "▶")+strings.Count(all, "▼")+strings.Count(all, "◀")+strings.Count(all, "▲"), "%s\n%s", name, all)
				for r, n := range c.headsOf {
					assert.GreaterOrEqual(t, n, 3, "%s run %d\n%s", name, r, all)
				}
				heads := len(regexp.MustCompile(`[›→↘↓↙←↖↑↗]`).FindAllString(all, -1))
				assert.GreaterOrEqual(t, heads, 3*len(p.Runs), "%s\n%s", name, all)
				for _, r := range c.rows {
					for _, m := range r.marks {
						for _, s := range r.spots {
							assert.NotEqual(t, s.col, m.col, name)
						}
						assert.Less(t, m.col, size[0], name)
					}
				}
			}
		}
	}
}

// By hand: a line to the right has its data enter at its left end and arrows to
// the right; drawn backwards it is the other way round; one that climbs points up.
func TestArrowsFollowTheData(t *testing.T) {
	for _, row := range []struct {
		angle           float64 // degrees
		back            bool
		triangle, arrow string
	}{
		{0, false, "▶", "→"}, {0, true, "◀", "←"}, {90, false, "▲", "↑"}, {-90, false, "▼", "↓"},
	} {
		p := &prop.Prop{Runs: []prop.Run{{Pixels: 12, Reverse: row.back, Shape: prop.Shape{Kind: prop.Line, Angle: row.angle}}}}
		c := New(p, nil, Shape, 40, 16, style.Letters)
		all := strings.Join(c.Lines(), "\n")
		assert.Equal(t, 1, strings.Count(all, row.triangle), "%v\n%s", row, all)
		assert.Equal(t, MinHeads, strings.Count(all, row.arrow), "%v\n%s", row, all)
	}
}

// By hand: clockwise round a ring the data goes right at the top, down at the
// right, left at the bottom and up at the left.
func TestArrowsRoundARing(t *testing.T) {
	c := New(ring(64), nil, Shape, 46, 22, style.Letters)
	lines := c.Lines()
	for i, l := range lines {
		half := len([]rune(l)) / 2
		left, right := string([]rune(l)[:half]), string([]rune(l)[half:])
		assert.False(t, strings.ContainsAny(right, "↑↗↖") && i > 2 && i < 19, l)
		assert.False(t, strings.ContainsAny(left, "↓↘↙") && i > 2 && i < 19, l)
		if i < 3 {
			assert.NotContains(t, l, "←")
		}
		if i > 18 {
			assert.NotContains(t, l, "→")
		}
	}
}

// The pulse goes along the data, one arrowhead at a time, and writes no other row.
func TestPulse(t *testing.T) {
	p := prop.Porthole()
	c := New(p, nil, Shape, 60, 30, style.True)
	c.SetFrame(nil, 1)
	still := strings.Join(c.Lines(), "\n")
	require.Positive(t, c.heads)
	seen := map[string]bool{}
	for i := range c.heads {
		before := append([]string(nil), c.Lines()...)
		c.SetPulse(i)
		changed := 0
		for k, l := range c.Lines() {
			if l != before[k] {
				changed++
			}
		}
		assert.LessOrEqual(t, changed, 2)
		now := strings.Join(c.Lines(), "\n")
		assert.Equal(t, ansi.Strip(still), ansi.Strip(now), "only colours change")
		seen[now] = true
	}
	assert.Len(t, seen, c.heads)
	c.SetPulse(c.heads)
	assert.True(t, seen[strings.Join(c.Lines(), "\n")], "it begins again")
	c.SetPulse(-1)
	assert.Equal(t, still, strings.Join(c.Lines(), "\n"))
}

// A hole left empty is unlike a dark pixel, in colour and without.
func TestHolesAreUnlikeDarkPixels(t *testing.T) {
	p := &prop.Prop{Runs: []prop.Run{{Pixels: 12, Shape: prop.Shape{Kind: prop.Line}}},
		Parts: []prop.Part{{Name: "hole", First: 3, Last: 5, Empty: true}}}
	for _, d := range []style.Depth{style.Letters, style.Sixteen, style.Cube256, style.True} {
		for _, v := range []View{Shape, Rows} {
			c := New(p, nil, v, 40, 4, d)
			assert.True(t, c.HasHoles())
			c.SetFrame(nil, 1)
			assert.Equal(t, 3, strings.Count(strings.Join(c.Lines(), ""), Hole))
		}
	}
	assert.False(t, New(prop.Porthole(), nil, Rows, 40, 9, style.True).HasHoles())
}

// What should be lit and what a sound prop lights are the same picture, sign by
// sign and colour by colour, whatever is shown and at whatever level.
func TestTheTwoPicturesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(prop.Demos()).Draw(t, "prop")
		depth := rapid.SampledFrom([]style.Depth{style.Letters, style.Sixteen, style.Cube256, style.True}).Draw(t, "depth")
		view := rapid.SampledFrom([]View{Shape, Rows}).Draw(t, "view")
		level := patterns.CleanLevel(rapid.Float64Range(0, 1).Draw(t, "level"))
		value := rapid.SampledFrom([]uint8{0, 1, 26, 128, 254, 255})
		wanted := make(patterns.Frame, p.Pixels())
		for i := range wanted {
			wanted[i] = patterns.Colour{R: value.Draw(t, "r"), G: value.Draw(t, "g"), B: value.Draw(t, "b")}
		}
		sent := make(patterns.Frame, len(wanted))
		for i := range sent {
			sent[i] = wanted[i].Dim(level)
		}
		s, err := strip.New(p)
		require.NoError(t, err)
		should, does := New(p, nil, view, 50, 24, depth), New(p, nil, view, 50, 24, depth)
		should.SetWanted(wanted, level)
		does.SetLight(s.Shine(sent), level)
		assert.Equal(t, should.Lines(), does.Lines())
	})
}

// onTheWay is the distance of a place from a run, in columns: from the nearest line between two
// pixels that follow one another.
func onTheWay(at spotAt, run []spotAt) float64 {
	best := math.Inf(1)
	for i := 1; i < len(run); i++ {
		a, d := run[i-1], run[i].minus(run[i-1])
		share := 0.0
		if l := d.length(); l > 0 {
			share = max(0, min(1, (at.minus(a).x*d.x+at.minus(a).y*d.y)/(l*l)))
		}
		best = min(best, at.minus(a.plus(d, share)).length())
	}
	return best
}

// pixelsOf are the places of the pixels of each run of a drawing with a cell for each.
func pixelsOf(c *Canvas) [][]spotAt {
	all := make([]spotAt, len(c.flat))
	for y := range c.rows {
		for _, s := range c.rows[y].spots {
			all[s.up[0]] = spotAt{float64(s.col), 2*float64(y) + 0.5}
		}
	}
	var out [][]spotAt
	for _, n := range c.counts {
		out, all = append(out, all[:n]), all[n:]
	}
	return out
}

// In any room each arrowhead is on its run or in the cell right beside it, a row or two columns
// away at most, and nearer to it than to any other run; it points along the data there.
func TestArrowsStandAtTheirRun(t *testing.T) {
	seen := 0
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant(), ring(48), ring(64)} {
		for height := 18; height <= 60; height += 3 {
			c := New(p, nil, Shape, 2*height+4, height, style.Letters)
			if c.Crowded() > 0 {
				continue
			}
			runs := pixelsOf(c)
			for y := range c.rows {
				for _, m := range c.rows[y].marks {
					if m.head == entry {
						continue
					}
					at := spotAt{float64(m.col), 2*float64(y) + 0.5}
					far := make([]float64, len(runs))
					for r := range runs {
						far[r] = onTheWay(at, runs[r])
					}
					assert.LessOrEqual(t, slices.Min(far), 2.0, "%s, %d high, row %d", p.Name, height, y)
					if len(far) > 1 {
						slices.Sort(far)
						assert.Less(t, far[0], far[1], "%s, %d high, row %d", p.Name, height, y)
					}
					seen++
				}
			}
		}
	}
	assert.Greater(t, seen, 200)
}

// The legend has all kinds of arrowheads that are drawn, and the sign of where data enters.
func TestTheLegendHasTheArrowsDrawn(t *testing.T) {
	for _, p := range append(prop.Demos(), ring(48), ring(64)) {
		for height := 8; height <= 60; height += 4 {
			for _, v := range []View{Shape, Rows} {
				c := New(p, nil, v, 2*height+4, height, style.Letters)
				drawn := map[string]bool{}
				for _, r := range c.rows {
					for _, m := range r.marks {
						drawn[m.text] = true
					}
				}
				for sign := range drawn {
					assert.Contains(t, c.Way().Full, sign, "%s %d high", p.Name, height)
				}
			}
		}
	}
}
