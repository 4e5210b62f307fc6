package light

import (
	"testing"

	"github.com/charmbracelet/x/exp/golden"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// The pages are fixed in size and colours; go test -update writes them again,
// and someone then has to look at the difference.
func TestPages(t *testing.T) {
	for _, row := range []struct {
		name          string
		prop          *prop.Prop
		demo          bool
		width, height int // of the page, three less high than the terminal
		depth         termenv.Profile
		keys          []string
		step          int
	}{
		{"80x24 no colour, count, open joint", prop.Porthole(), true, 80, 21, termenv.Ascii, []string{"2", "end", " "}, 143},
		{"80x24 true colour, sweep", prop.Porthole(), true, 80, 21, termenv.TrueColor, []string{"6"}, 30},
		{"120x40 no colour, ruler", prop.Porthole(), true, 120, 37, termenv.Ascii, []string{"5"}, 0},
		{"120x40 256 colours, ends", prop.Pennant(), false, 120, 37, termenv.ANSI256, []string{"4"}, 0},
		{"50x20 no colour, chase", prop.Pennant(), true, 50, 17, termenv.Ascii, []string{"1"}, 12},
		{"50x20 16 colours, colours in turn", prop.BuoyLamp(), true, 50, 17, termenv.ANSI, []string{"7"}, 1},
		{"80x24 no colour, rows", prop.Porthole(), false, 80, 21, termenv.Ascii, []string{"3", "v", "end"}, 143},
		{"80x24 no colour, dark", prop.Porthole(), false, 80, 21, termenv.Ascii, []string{"l"}, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			m, out := lit(row.prop, row.demo, row.width, row.height, row.depth)
			m = press(m, row.keys...)
			snap, sent := answer(row.prop, out.last(t), row.step)
			m = feed(m, snap)
			if row.demo {
				var faults []strip.Fault
				if row.prop.Pixels() > 100 {
					faults = append(faults, strip.Fault{Kind: strip.OpenJoint, Pixel: 84})
				}
				s, err := strip.New(row.prop, faults...)
				require.NoError(t, err)
				m = feed(m, screen.LightMsg{Light: s.Shine(sent), Driven: true})
			}
			golden.RequireEqual(t, []byte(m.View(row.width, row.height)))
		})
	}
}

func TestPageWithoutProp(t *testing.T) {
	m := New(styles(termenv.Ascii), patterns.All())
	m = press(m, "2", " ", "right", "c", "l", "enter")
	page := m.View(80, 21)
	require.Contains(t, page, "This page lights a prop pixel by pixel")
	require.NotContains(t, page, "Expect:", "nothing lights, so there is nothing to expect")
}
