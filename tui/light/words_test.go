package light

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

func TestTroubleIsSaid(t *testing.T) {
	p := prop.Porthole()
	m, out := lit(p, false, 50, 17, termenv.Ascii)
	snap, _ := answer(p, out.last(t), 0)
	snap.Links = []link.Status{{State: link.Sending}, {State: link.Unreachable, Target: link.Target{Host: "porch"}, Err: errors.New("network is unreachable")}}
	m = feed(m, snap)
	assert.Contains(t, strings.Join(m.words(1000, 100), "\n"), "TROUBLE: this machine has no way to porch (network is unreachable)")
	snap.Links = snap.Links[:1]
	m = feed(m, snap)
	assert.NotContains(t, strings.Join(m.words(1000, 100), "\n"), "TROUBLE")
}

func TestLimiterIsSaid(t *testing.T) {
	p := prop.Porthole()
	m, out := lit(p, false, 120, 37, termenv.Ascii)
	m = press(m, "8", "up")
	snap, _ := answer(p, out.last(t), 0)
	snap.Limited, snap.Level = true, 0.125
	m = feed(m, snap)
	assert.Contains(t, strings.Join(m.words(1000, 100), "\n"), "LIMITED: held at 12.5 %, so that the supply gives no more than 8.0 A.")
	assert.Contains(t, m.View(120, 37), "LIMITED: held")
	snap.NoLight = true
	m = feed(m, snap)
	assert.Contains(t, strings.Join(m.words(1000, 100), "\n"), "dark pixels alone draw all")
	assert.Contains(t, m.View(120, 37), "LIMITED: the dark pixels")
}

// By hand: at 3 % 255 is sent as 8 and 20 as 1, a share of 0.125 where 20/255 is
// 0.078: 59 % off. Pure colours and white keep their proportion at any level.
func TestRoundingIsSaidWhereItShiftsAColour(t *testing.T) {
	assert.InDelta(t, 0.59, shift(patterns.Colour{R: 255, G: 20}, 0.03), 0.005)
	for _, c := range []patterns.Colour{{}, {R: 255}, {R: 255, G: 255, B: 255}, {R: 64, G: 64, B: 64}} {
		for _, level := range []float64{0, 0.01, 0.03, 0.2, 1} {
			assert.Zero(t, shift(c, level), "%v at %v", c, level)
		}
	}
	m, out := lit(prop.Porthole(), false, 80, 21, termenv.Ascii)
	snap, _ := answer(prop.Porthole(), out.last(t), 0)
	snap.Level = 0.03
	m = feed(m, snap)
	assert.Empty(t, m.rounding(), "white keeps its colour")
	snap.Wanted[3] = patterns.Colour{R: 255, G: 20}
	assert.Equal(t, "8 bits shift a colour here: at 3 % its weakest part is 59 % off.", feed(m, snap).rounding())
}

// What is loud says what was found: a mark, a colour, a number.
func TestLargeWords(t *testing.T) {
	p := prop.Porthole()
	m, out := lit(p, false, 120, 37, termenv.Ascii)
	assert.True(t, out.last(t).Auto, "the chase walks at once")
	assert.Contains(t, m.expect(), "the light walks")
	m = press(m, "right")
	assert.NotContains(t, m.expect(), "walks", "held, it does not walk")
	assert.Equal(t, []string{"pixel 2"}, m.large(), "a bare number says nothing from two metres")
	m = press(m, "2", "pgdown", "pgdown", "pgdown", "pgdown", "right", "right", "right", "right", "right", "right", "right", " ")
	assert.Equal(t, []string{"48, not\u00a0144"}, m.large())
	m = press(m, "end", " ")
	assert.Equal(t, []string{"all 144 light", "all 144"}, m.large())
	m = press(m, "7")
	assert.Equal(t, []string{"green"}, m.large(), "the first slot of a GRB chip")
	m = press(m, "8")
	assert.Equal(t, []string{"level 20\u00a0%"}, m.large())
	m = press(m, "l")
	assert.Equal(t, []string{"dark"}, m.large())
	assert.Equal(t, m.large(), m.FarView().Texts)
}

// Nothing that is said is cut, and the large words are whole, at any width, for
// every pattern.
func TestNothingIsCut(t *testing.T) {
	for _, p := range prop.Demos() {
		for width := 50; width <= 240; width += 5 {
			for _, height := range []int{17, 21, 37, 57} {
				m, out := lit(p, true, width, height, termenv.Ascii)
				for i := range patterns.All() {
					m = press(m, fmt.Sprint((i+1)%10))
					snap, _ := answer(p, out.last(t), 5)
					m = feed(m, snap)
					for k, l := range strings.Split(m.View(width, height), "\n") {
						assert.False(t, strings.HasSuffix(strings.TrimRight(l, " "), "…"), "%s %s %dx%d line %d: %q", p.Name, m.pattern().Name, width, height, k, l)
						assert.True(t, strings.HasSuffix(l, " "), "touches the right edge: %q", l)
					}
				}
			}
		}
	}
}

// A dark prop still has power, and no page says that it steps, or at which level.
func TestDarkPagesSayNoLevelAndPowerOff(t *testing.T) {
	for name, keys := range map[string][]string{"by the key": {"l"}, "by the pattern": {"9"}, "both": {"9", "l"}, "a count": {"2", "l"}} {
		var m Model
		for _, size := range [][2]int{{50, 17}, {80, 21}, {120, 37}} {
			m, _ = lit(prop.Porthole(), false, size[0], size[1], termenv.Ascii)
			m = press(m, keys...)
			text := strings.Join(strings.Fields(m.View(size[0], size[1])), " ")
			assert.NotRegexp(t, `steps/s|walking|by hand|Level +20|LEVEL`, text, name)
			assert.Equal(t, []string{"dark"}, m.large(), name)
		}
		assert.Contains(t, m.expect(), "power off before you work", name)
	}
}

// Who is sent to a wire or a joint by a mark is told to power off first, wherever it is.
func TestMarksSendNoOneToAJointUnderPower(t *testing.T) {
	p := prop.Porthole()
	for count := 1; count < p.Pixels(); count++ {
		assert.Regexp(t, `Power off, then look at`, marked(p, count, false), count)
	}
}

// Wherever a drawing has dark pixels its legend names them, in every palette.
func TestDarkIsNamedWhereverItIsDrawn(t *testing.T) {
	for _, depth := range []termenv.Profile{termenv.TrueColor, termenv.ANSI256, termenv.ANSI, termenv.Ascii} {
		for _, size := range [][2]int{{50, 16}, {80, 21}, {120, 37}, {200, 57}} {
			for _, keys := range [][]string{{"1"}, {"2", "right", "right", " "}, {"5"}, {"l"}} {
				p := prop.Porthole()
				m, out := lit(p, true, size[0], size[1], depth)
				m = press(m, keys...)
				w := out.last(t)
				snap, sent := answer(p, w, w.Step)
				light := make(strip.Light, len(p.Runs))
				for r := range p.Runs {
					light[r] = sent[p.FirstPixel(r) : p.FirstPixel(r)+p.Runs[r].Pixels]
				}
				m = feed(m, snap, screen.LightMsg{Light: light, Driven: true})
				assert.Regexp(t, `[■•][ \x{a0}]+dark`, ansi.Strip(m.View(size[0], size[1])), "%v %v %v", depth, size, keys)
			}
		}
	}
}
