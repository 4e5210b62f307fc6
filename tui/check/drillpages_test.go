package check

import (
	"fmt"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/screen"
)

// The pages of the single tests, without colour, in three sizes; go test
// -update writes them again, and someone then has to look at the difference.
func TestDrillPages(t *testing.T) {
	keys := func(names ...string) func(*evening) {
		return func(e *evening) { e.press(names...) }
	}
	for _, row := range []struct {
		name  string
		prop  *prop.Prop
		fault string
		begin string
		do    func(*evening)
		page  page
	}{
		{"roll call, first look", prop.Porthole(), "", "Roll call", keys(), testPage{}},
		{"roll call, colours", prop.Porthole(), "", "Roll call", keys("r"), testPage{}},
		{"roll call, count", prop.Porthole(), "", "Roll call", keys("n", "9", "6", "enter"), resultPage{}},
		{"flex test", prop.Porthole(), "flicker pixel 37", "Flex test", keys("1"), testPage{}},
		{"flex test, loose", prop.Porthole(), "flicker pixel 37", "Flex test", keys("1", "2", "0"), resultPage{}},
		{"flex test, steady", prop.Pennant(), "", "Flex test", keys("1", "1"), resultPage{}},
		{"load test", prop.Porthole(), "resistance run 2 by 1000", "Load test", func(e *evening) { e.sent() }, testPage{}},
		{"load test, higher", prop.Pennant(), "", "Load test", func(e *evening) {
			for e.trial().now().Level < 0.1 {
				e.sent()
				e.press("t")
			}
		}, testPage{}},
		{"load test, typing", prop.Porthole(), "", "Load test", keys("4", ".", "8"), typingPage{}},
		{"load test, found", prop.Porthole(), "resistance run 2 by 1000", "", (*evening).loadTest, resultPage{}},
		{"load test, too few", prop.Porthole(), "", "Load test", keys("x"), resultPage{}},
		{"bulb", prop.BuoyLamp(), "", "Check of the bulb", keys("r", "g"), testPage{}},
		{"bulb, stream ended", prop.BuoyLamp(), "", "Check of the bulb", keys("r", "g", "b", "w", "1", "1"), testPage{}},
		{"bulb, as planned", prop.BuoyLamp(), "", "Check of the bulb", keys("r", "g", "b", "w", "1", "1", "1", "4"), resultPage{}},
		{"bulb, not as planned", prop.BuoyLamp(), "", "Check of the bulb", keys("g", "r", "b", "2", "2", "2", "3", "2", "3"), resultPage{}},
	} {
		for _, size := range []tea.WindowSizeMsg{{Width: 120, Height: 37}, {Width: 80, Height: 21}, {Width: 50, Height: 17}} {
			t.Run(fmt.Sprintf("%dx%d %s", size.Width, size.Height+3, row.name), func(t *testing.T) {
				t.Setenv("HOME", "/home/builder")
				var faults []strip.Fault
				if row.fault != "" {
					faults = append(faults, faultOf(t, row.prop, row.fault))
				}
				e := demoOf(t, row.prop, faults...)
				e.m.style = styles(termenv.Ascii)
				e.feed(size)
				if row.begin != "" {
					e.choose(row.begin)
				}
				row.do(e)
				require.IsType(t, row.page, e.m.page)
				if e.m.want().Frames != nil {
					e.feed(screen.LightMsg{Light: e.real.Light(e.light()), Driven: true})
				}
				requirePage(t, e.m.View(size.Width, size.Height), size.Width, size.Height)
			})
		}
	}
}

// Nothing touches the large words of a question in small windows: neither the drawings
// below them at 80x24, nor those above them at 50x20.
func TestLargeWordsStandFree(t *testing.T) {
	for _, size := range [][2]int{{80, 21}, {50, 17}} {
		p, path := onDisk(t, "porthole")
		e := begin(t, Options{}, p, path)
		e.feed(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		e.choose("Load test: measure volts as the level rises")
		lines := strings.Split(ansi.Strip(e.m.View(size[0], size[1])), "\n")
		large := 0
		for i, l := range lines {
			if !strings.ContainsAny(l, "▀▄█") {
				continue
			}
			large++
			for _, k := range []int{i - 1, i + 1} {
				if k >= 0 && (k < i || size[0] >= narrow) && !strings.ContainsAny(lines[k], "▀▄█") {
					assert.Empty(t, strings.TrimSpace(lines[k]), "%v, line %d", size, k)
				}
			}
		}
		assert.Equal(t, digits.Rows, large, size)
	}
}
