package portrait

import (
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

func plain() style.Styles {
	r := lipgloss.NewRenderer(nil)
	r.SetColorProfile(termenv.Ascii)
	return style.On(r, style.AnyGround)
}

// straight is a strip of 60 pixels in one line.
func straight() *prop.Prop {
	p := *prop.Porthole()
	p.Runs = []prop.Run{{Name: "strip", Pixels: 60, Shape: prop.Shape{Kind: prop.Line}}}
	return &p
}

// Whatever the room, nothing is wider or higher than it, and the drawing has a sign for
// each run where it says so.
func TestPortraitsFitTheirRoom(t *testing.T) {
	st := plain()
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom([]*prop.Prop{prop.Porthole(), prop.Pennant(), prop.BuoyLamp(), straight()}).Draw(t, "prop")
		width, height := rapid.IntRange(1, 150).Draw(t, "width"), rapid.IntRange(0, 60).Draw(t, "height")
		lines := (&Portrait{}).Lines(st, p, width, height)
		assert.LessOrEqual(t, len(lines), height)
		for _, l := range lines {
			assert.LessOrEqual(t, style.Width(l), width, "%q", l)
		}
		text := strings.Join(lines, "\n")
		if strings.Contains(text, canvas.PlanSign) {
			assert.Regexp(t, canvas.PlanSign+` \d`, text, "%dx%d", width, height)
		}
		if strings.Contains(text, "where runs begin") {
			for r := range p.Runs {
				assert.Contains(t, strings.Join(lines[1:], "\n"), string(rune('1'+r)))
			}
		}
	})
}

// A bulb's slots are named as its order has them: slot 1 of the Buoy lamp is red (its
// prop file: order RGBW).
func TestABulbHasItsSlots(t *testing.T) {
	lines := (&Portrait{}).Lines(plain(), prop.BuoyLamp(), 30, 10)
	assert.Equal(t, []string{"", "RED", "", "GREEN", "", "BLUE", "", "WHITE"}, lines[1:])
	assert.Len(t, (&Portrait{}).Lines(plain(), prop.BuoyLamp(), 80, 41), 1+4*(1+6)+12, "letters of six rows, and the bulb below them")
}

// A drawing is laid out once for a size, and again for another prop.
func TestPortraitFollowsTheProp(t *testing.T) {
	var d Portrait
	first := d.Lines(plain(), prop.Porthole(), 60, 30)
	assert.NotEqual(t, first, d.Lines(plain(), prop.Pennant(), 60, 30))
	assert.Equal(t, first, d.Lines(plain(), prop.Porthole(), 60, 30))
}

// Words are either large or not there: a text that has no drawing is not written small.
func TestWordsAreLargeOrAbsent(t *testing.T) {
	st := plain()
	assert.Nil(t, Words(st, 40, 3, "not checked"), "three rows leave none empty before them")
	assert.Len(t, Words(st, 60, 4, "not checked"), 4)
	assert.Nil(t, Words(st, 60, 20, "日本"))
	assert.Nil(t, Words(st, 10, 20, "far too long for ten cells"))
}

// A bulb is drawn below the names of its slots where it has room, as an outline of one shape: nothing is
// said of its light.
func TestABulbIsDrawnBelowItsSlots(t *testing.T) {
	var d Portrait
	most := 0
	for _, row := range []struct {
		width, height int
		drawn         bool
	}{{24, 9, false}, {32, 17, false}, {40, 26, true}, {48, 34, true}, {64, 44, true}, {80, 55, true}} {
		lines := d.Lines(plain(), prop.BuoyLamp(), row.width, row.height)
		require.LessOrEqual(t, len(lines), row.height)
		for _, l := range lines {
			require.LessOrEqual(t, style.Width(l), row.width)
		}
		last := ""
		if len(lines) > 0 {
			last = lines[len(lines)-1]
		}
		ring := regexp.MustCompile(`^ +·+$`).MatchString(last)
		assert.Equal(t, row.drawn, ring, "%dx%d:\n%s", row.width, row.height, strings.Join(lines, "\n"))
		if !ring {
			continue
		}
		sides := regexp.MustCompile(`^(·+) +(·+)$`)
		middle := ""
		for _, l := range lines {
			if sides.MatchString(l) && len(l) >= len(middle) {
				middle = l
			}
		}
		assert.Contains(t, strings.Join(lines, "\n"), bulbName)
		assert.GreaterOrEqual(t, len(middle), most, "no smaller in a larger window")
		most = len(middle)
		assert.Equal(t, sides.FindStringSubmatch(middle)[1], sides.FindStringSubmatch(middle)[2], "as thick at both sides")
	}
}
