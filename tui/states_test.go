package tui

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/charmbracelet/x/exp/golden"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// states are the pages of the bench and what they may show. Pages of a check-out
// that depend on its questions have goldens in tui/check, which fixes them.
var states = []state{
	{name: "front", prop: "porthole", demo: true},
	{name: "set-up without a prop", bare: true, keys: "enter"},
	{name: "set-up", prop: "porthole", keys: "enter S"},
	{name: "set-up, typing", prop: "porthole", keys: "enter S down down enter"},
	{name: "light, chase", prop: "porthole", demo: true, faults: []string{"open-joint pixel 85"}, keys: "enter right right right"},
	{name: "light, counted and marked", prop: "porthole", demo: true, faults: []string{"open-joint pixel 85"}, keys: "enter 2 end pgup pgup pgup pgup pgup pgup space"},
	{name: "light, ruler", prop: "porthole", demo: true, keys: "enter 5"},
	{name: "light, colours, far", prop: "pennant", demo: true, keys: "enter 7 right f"},
	{name: "light, part", prop: "porthole", keys: "enter p p 3"},
	{name: "light, dark", prop: "porthole", keys: "enter l"},
	{name: "light, bulb", prop: "buoylamp", demo: true, keys: "enter"},
	{name: "light, bulb, even light", prop: "buoylamp", demo: true, keys: "enter 8"},
	{name: "keys of light", prop: "porthole", demo: true, keys: "enter ?"},
	{name: "prop, figures", prop: "porthole", keys: "enter P"},
	{name: "prop, second page", prop: "porthole", keys: "enter P v"},
	{name: "prop, third page", prop: "porthole", keys: "enter P v v"},
	{name: "prop, fourth page", prop: "porthole", keys: "enter P v v v"},
	{name: "prop, fifth page", prop: "porthole", keys: "enter P v v v v"},
	{name: "prop, typing", prop: "porthole", keys: "enter P down down enter"},
	{name: "prop, refused", prop: "porthole", keys: "enter P right down enter ctrl+u x enter", again: "enter"},
	{name: "prop, changed and leaving", prop: "porthole", keys: "enter P end x q"},
	{name: "prop, bulb", prop: "buoylamp", keys: "enter P"},
	{name: "prop, far", prop: "porthole", keys: "enter P f"},
	{name: "check, start", prop: "porthole", demo: true, keys: "enter C"},
	{name: "check, start, bulb", prop: "buoylamp", demo: true, keys: "enter C"},
	{name: "check, which part", prop: "porthole", keys: "enter C 2"},
	{name: "check, first question", prop: "porthole", demo: true, keys: "enter C 1"},
	{name: "check, first question, far", prop: "porthole", demo: true, keys: "enter C 1 f"},
	{name: "check, first question, real prop", prop: "pennant", keys: "enter C 1"},
	{name: "check, bulb", prop: "buoylamp", demo: true, keys: "enter C 1"},
	{name: "check, flex test", prop: "porthole", demo: true, keys: "enter C 3"},
	{name: "check, load test", prop: "porthole", demo: true, keys: "enter C 4"},
	{name: "check, load test, typing", prop: "porthole", demo: true, keys: "enter C 4 4 . 9"},
	{name: "check, roll call", prop: "porthole", demo: true, keys: "enter C 5"},
	{name: "keys of check", prop: "porthole", demo: true, keys: "enter C 1 ?"},
	{name: "traffic, prop", prop: "porthole", rival: true, keys: "enter T"},
	{name: "traffic, sentences", prop: "porthole", rival: true, keys: "enter T v"},
	{name: "traffic, sources", prop: "porthole", rival: true, keys: "enter T v v down"},
	{name: "traffic, slots", prop: "porthole", rival: true, keys: "enter T v v v"},
	{name: "traffic, far", prop: "porthole", rival: true, keys: "enter T f"},
	{name: "traffic, alone", prop: "porthole", keys: "enter T"},
	{name: "traffic, bulb", prop: "buoylamp", rival: true, keys: "enter T"},
	{name: "traffic without a prop", bare: true, keys: "enter tab tab tab tab"},
	{name: "prop without a prop", bare: true, keys: "enter tab"},
	{name: "light without a prop", bare: true, keys: "enter tab tab"},
	{name: "check without a prop", bare: true, keys: "enter tab tab tab"},
	{name: "record without a prop", bare: true, keys: "enter tab tab tab tab tab"},
	{name: "record, empty", prop: "porthole", keys: "enter R"},
	{name: "record, list", prop: "porthole", record: oldRecord, keys: "enter R"},
	{name: "record, entry", prop: "porthole", record: oldRecord, keys: "enter R enter"},
	{name: "record, compared", prop: "porthole", record: oldRecord, keys: "enter R c"},
	{name: "record, reminders", prop: "porthole", record: oldRecord, keys: "enter R m"},
	{name: "record, note", prop: "porthole", record: oldRecord, keys: "enter R n t u b e"},
	{name: "record, far", prop: "porthole", record: oldRecord, keys: "enter R f"},
}

// oldRecord is a bench record, by its path from anywhere.
var oldRecord = func() string {
	path, err := filepath.Abs("../testdata/records/version2.bench.jsonl")
	if err != nil {
		panic(err)
	}
	return path
}()

var sizes = [][2]int{{50, 20}, {80, 24}, {120, 40}, {160, 50}, {200, 60}}

// TestCaptures writes every state at every size and palette into the folder that
// RINGOUT_CAPTURES names, for .ci/pictures.
func TestCaptures(t *testing.T) {
	to := os.Getenv("RINGOUT_CAPTURES")
	if to == "" {
		t.Skip("set RINGOUT_CAPTURES to a folder")
	}
	for name, depth := range map[string]termenv.Profile{"true": termenv.TrueColor, "256": termenv.ANSI256, "16": termenv.ANSI, "none": notWanted} {
		for _, s := range states {
			t.Run(name+" "+s.name, func(t *testing.T) {
				for _, size := range sizes {
					inBubble(t, func(t *testing.T) {
						w := walk(t, s, size[0], size[1], depth)
						file := fmt.Sprintf("%s-%s-%dx%d.ansi", name, strings.NewReplacer(" ", "-", ",", "").Replace(s.name), size[0], size[1])
						require.NoError(t, os.WriteFile(filepath.Join(to, file), []byte(w.view()), 0o644))
						w.Close()
					})
				}
			})
		}
	}
}

// TestStates holds every state at three sizes, without colours; go test -update
// writes them again, and someone then has to look at the difference.
func TestStates(t *testing.T) {
	for _, s := range states {
		for _, size := range sizes[:3] {
			t.Run(fmt.Sprintf("%s %dx%d", s.name, size[0], size[1]), func(t *testing.T) {
				view := ""
				inBubble(t, func(t *testing.T) {
					w := walk(t, s, size[0], size[1], termenv.Ascii)
					view = w.view()
					w.Close()
				})
				lines := strings.Split(view, "\n")
				require.Len(t, lines, size[1])
				for _, l := range lines {
					require.Equal(t, size[0], ansi.StringWidth(l), "%q", l)
				}
				holdsScreen(t, s, lines[0])
				holdsFrame(t, s, lines)
				holdsLegend(t, view)
				t.Chdir(here)
				golden.RequireEqual(t, []byte(view))
			})
		}
	}
}

// holdsScreen: a state that is named as a screen shows that screen. Far views have no
// names of screens.
func holdsScreen(t *testing.T, s state, head string) {
	if strings.Contains(s.name, "far") {
		return
	}
	for _, n := range names() {
		if rest, ok := strings.CutPrefix(s.name, strings.ToLower(n)); ok && (rest == "" || rest[0] == ' ' || rest[0] == ',') {
			assert.Regexp(t, "● ?"+n, head, "the keys of %q lead to another screen: without a prop Set-up is open, and tab leads from one screen to the next", s.name)
		}
	}
}

// holdsLegend: where a drawing has the sign where data enters, arrowheads of its way, or pixels of
// the plan, one of each is named.
func holdsLegend(t *testing.T, view string) {
	for drawn, named := range map[string]string{
		`[▶▼◀▲]`:  `[▶▼◀▲] (data )?in\b`,
		`[›↖↗↘↙]`: `[›→↘↓↙←↖↑↗] (its way|on|way of data)\b`,
		`[○›↗↘] {0,3}○ {0,3}[○›↗↘]`: `○ [a-z0-9]`,
	} {
		if regexp.MustCompile(drawn).MatchString(view) {
			assert.Regexp(t, named, view)
		}
	}
}

// holdsFrame: an empty row stands above the lines at the foot of every page, and where
// there is room for it the far view is among the keys.
func holdsFrame(t *testing.T, s state, lines []string) {
	foot, above := lines[len(lines)-1], len(lines)-3
	if far := strings.Contains(s.name, "far"); far {
		above++
	} else if !strings.HasPrefix(s.name, "keys") && s.name != "front" && !strings.HasSuffix(s.name, "leaving") && len(foot) >= 120 {
		assert.Contains(t, foot, "far view")
	}
	for strings.HasPrefix(lines[above], "  TROUBLE: ") || strings.HasPrefix(lines[above], "  WARNING: ") || strings.HasPrefix(lines[above], "           ") && strings.TrimSpace(lines[above]) != "" && strings.Contains(s.name, "far") {
		above--
	}
	assert.Empty(t, strings.TrimSpace(lines[above]), "above the lines at the foot")
}

// Every screen has states: one at least with a prop, and one without.
func TestEveryScreenHasStates(t *testing.T) {
	for _, n := range names() {
		n = strings.ToLower(n)
		with, without := false, false
		for _, s := range states {
			without = without || s.bare && s.name == n+" without a prop"
			with = with || !s.bare && (s.name == n || strings.HasPrefix(s.name, n+", "))
		}
		assert.True(t, with && without, "states has none with a prop or none without: %q, %q", n, n+" without a prop")
	}
}

// here is the folder of this package, where goldens lie.
var here = func() string {
	dir, err := os.Getwd()
	if err != nil {
		panic(err)
	}
	return dir
}()

// No page speaks of a strip, its ends or its wires while a bulb is on the bench.
func TestABulbIsABulbOnEveryPage(t *testing.T) {
	for _, s := range states {
		if s.prop != "buoylamp" {
			continue
		}
		inBubble(t, func(t *testing.T) {
			w := walk(t, s, 160, 50, termenv.Ascii)
			defer w.Close()
			text := strings.Join(strings.Fields(ansi.Strip(w.view())), " ")
			for _, word := range []string{"far end", "to the end", "the strip", "heat-shrink", "pads", "0 mm", "reel", "1 pixels", "are only 1", "Every pixel"} {
				assert.NotContains(t, text, word, s.name)
			}
		})
	}
}
