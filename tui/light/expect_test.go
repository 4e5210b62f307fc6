package light

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
)

// holed is a line of 60 with pixels 40 to 42 and the last two left empty.
func holed() *prop.Prop {
	p := prop.Porthole()
	p.Runs, p.Feeds = p.Runs[2:], nil
	p.Runs[0].Name = "line"
	p.Parts = []prop.Part{{Name: "hole", First: 39, Last: 41, Empty: true}, {Name: "stub", First: 58, Last: 59, Empty: true},
		{Name: "rim", First: 0, Last: 9}}
	return p
}

// What is said to be expected is what the show sends: empty parts stay dark.
func TestExpectKnowsOfEmptyParts(t *testing.T) {
	p := holed()
	for _, row := range []struct {
		pattern patterns.Pattern
		step    int
		reverse bool
		want    string
	}{
		{patterns.Even, 0, false, `All 60 pixels are white, alike in colour and brightness. But pixels 40 to 42, 59 and 60 stay dark: parts "hole" and "stub" are left empty.`},
		{patterns.Single, 38, false, "Only pixel 39 of 60 is lit, white; all others are dark."},
		{patterns.Single, 39, false, `Pixel 40 is in part "hole", left empty: nothing lights.`},
		{patterns.Chase, 0, true, `Pixel 60 is in part "stub", left empty: nothing lights.`},
		{patterns.CountUp, 39, false, `But pixel 40 stays dark: part "hole" is left empty.`},
		{patterns.CountUp, 1, true, `Pixels 59 and 60 are in part "stub", left empty: nothing lights.`},
		{patterns.Ends, 0, false, `But pixels 59 and 60 stay dark: part "stub" is left empty.`},
		{patterns.Ruler, 0, false, `But pixels 40 and 60 stay dark: parts "hole" and "stub" are left empty.`},
		{patterns.Black, 0, false, "Every pixel is dark."},
	} {
		s := patterns.Settings{Pixels: 60, Starts: []int{0}, Reverse: row.reverse, Channels: p.Chip.Order.Channels()}
		at := patterns.Moment{Step: row.step}
		got := butFor(p, row.pattern.Frame(nil, s, at), row.pattern.Expect(s, at))
		assert.Contains(t, got, row.want, row.pattern.ID)

		// Against what goes out: the show's own frames have light where the
		// words say so, and none where they say there is none.
		frame := p.Unlit(func(dst patterns.Frame, _ int, _ time.Duration) patterns.Frame { return row.pattern.Frame(dst, s, at) })(nil, 60, 0)
		lit := 0
		for _, c := range frame {
			if !c.Dark() {
				lit++
			}
		}
		nothing := row.pattern.ID == patterns.Black.ID || strings.HasSuffix(got, "nothing lights.")
		assert.Equal(t, lit == 0, nothing, "%s: %s", row.pattern.ID, got)
	}
}

func TestExpectOnThePage(t *testing.T) {
	m, _ := lit(holed(), false, 120, 37, termenv.Ascii)
	m = press(m, "8")
	assert.Contains(t, m.View(120, 37), "left empty")
}

// A count that ends at the last pixel that can light is whole.
func TestMarksLeaveEmptyPartsOut(t *testing.T) {
	p := holed()
	for count, want := range map[int]string{
		60: "Marked: all 55 light. Are there",
		58: "Marked: all 55 light; the pixels after it are left empty.",
		39: "Marked: 39 of 55 light. Data stops in line between its pixels 39 and 43. Power off, then look at these and the empty ones between",
		41: "Marked: 39 of 55 light. Data stops in line between its pixels 39 and 43",
		10: "Marked: 10 of 55 light. Data stops in line between its pixels 10 and 11. Power off, then look at both and the joint between.",
	} {
		assert.Contains(t, marked(p, count, false), want)
	}
	assert.Contains(t, marked(p, 2, true), "before any pixel lights")
	assert.Contains(t, marked(p, 3, true), "Marked: 1 of 55, counted from the far end.")
}

// The name of a colour that is lit is large in that colour: it has the ink of a pixel of the drawing (SGR 38;2,
// ITU-T T.416 13.1.8) at any level, on its ground on every background: a dark red would look like an alarm. The
// ground reaches a cell beyond the letters at each side and half a row above and below; on a wide page it goes
// on to the panel below.
func TestTheNameOfAColourIsInIt(t *testing.T) {
	m, _ := lit(prop.BuoyLamp(), false, 120, 37, termenv.TrueColor) // begins with Colours in turn
	red := canvas.Inked(" █ ", patterns.Colour{R: 51}, 0.2, m.style.Depth)
	assert.Equal(t, []string{"▄▄▄", " █ ", "▀▀▀"}, stripped(m.rimmed([]string{"█"})))
	assert.Equal(t, red, m.rimmed([]string{"█"})[1])
	for i, l := range m.band(86, 20)[:3] {
		require.True(t, l.rim, "line %d", i)
		assert.True(t, strings.HasPrefix(indented([]line{l}, 2, 86)[0], " \x1b"), "the letters stand where others do")
	}
	white, _ := lit(prop.Porthole(), false, 120, 37, termenv.TrueColor)
	assert.False(t, white.band(86, 20)[0].rim)
}

// At any size, level and channel.
func TestNameAndPixelHaveOneInk(t *testing.T) {
	const letters, disc = "▘▝▀▖▌▞▛▗▚▐▜▄▙▟█", "█▀▄"
	for _, size := range [][2]int{{50, 17}, {80, 21}, {120, 37}, {160, 47}, {200, 57}} {
		for _, level := range []string{"", "up up up", "down down"} {
			for step := range 4 {
				m, out := lit(prop.BuoyLamp(), false, size[0], size[1], termenv.TrueColor)
				m = press(m, strings.Fields(level)...)
				snap, _ := answer(prop.BuoyLamp(), out.last(t), step)
				m = feed(m, snap)
				lines := strings.Split(m.View(size[0], size[1]), "\n")
				name, last := inksOf(lines[:m.draw.top], letters)
				pixel, _ := inksOf(lines[m.draw.top:], disc)
				require.Len(t, name, 1, "%v %s %d", size, level, step)
				assert.Equal(t, name, pixel, "%v %s %d", size, level, step)
				assert.Contains(t, lines[last], "▀", "half a row of ground below")
				assert.NotContains(t, lines[0], "▀", "and above")
				if size[0] >= 120 {
					for _, l := range lines[last+1 : m.draw.top] {
						assert.Contains(t, l, "48;2;17;17;17", "%v", size)
					}
				}
			}
		}
	}
}

// inksOf are the colours of light in which lines have some signs, and the last such line.
func inksOf(lines []string, signs string) (inks map[string]bool, last int) {
	inks = map[string]bool{}
	for i, l := range lines {
		for _, part := range regexp.MustCompile("\x1b\\[38;2;(\\d+;\\d+;\\d+)[^m]*m([^\x1b]*)").FindAllStringSubmatch(l, -1) {
			if strings.ContainsAny(part[2], signs) {
				inks[part[1]], last = true, i
			}
		}
	}
	return inks, last
}

func stripped(lines []string) (out []string) {
	for _, l := range lines {
		out = append(out, ansi.Strip(l))
	}
	return out
}
