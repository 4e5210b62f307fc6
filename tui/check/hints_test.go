package check

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/strip"
	"example.org/ringout/tui/style"
)

// acts reports whether a key changes the page, asks something of the show, or makes
// work. A sentence that the key does nothing here is no change.
func (e *evening) acts(k string) bool {
	before, wants := e.m.View(e.m.size.Width, e.m.size.Height), len(e.out.wants)
	defer func() { e.out.wants = e.out.wants[:wants] }() // the key is tried, not pressed
	next, cmd := e.m.Update(named(k))
	m := next.(Model)
	for _, refusal := range []string{"There is no such", "Choose an answer first", "Nothing waits", "Nothing has been answered", "This is the first question", "Only the demo", "Nothing was found that"} {
		if strings.Contains(m.note, refusal) {
			return false
		}
	}
	return cmd != nil || m.View(m.size.Width, m.size.Height) != before || len(e.out.wants) > wants && !sameWant(e, wants)
}

// sameWant reports whether the show was asked for what it had.
func sameWant(e *evening, wants int) bool {
	a, b := e.out.wants[wants-1], e.out.wants[len(e.out.wants)-1]
	return a.Serial == b.Serial && a.Level == b.Level && (a.Frames == nil) == (b.Frames == nil) && a.Ended == b.Ended
}

// namedKeys are the keys that a hint shows.
func namedKeys(b key.Binding) (out []string) {
	signs := map[string]string{"←": "left", "↑": "up", "↓": "down", "pgdn": "pgdown", "1-9,": "1", "…": "", "space": " "}
	for _, k := range strings.Fields(b.Help().Key) {
		if s, ok := signs[k]; ok {
			k = s
		} else if len(k) == 3 && strings.HasPrefix(k, "1-") { // as many as the page has lines
			out = append(out, strings.Split("123456789"[:k[2]-'0'], "")...)
			continue
		}
		if k != "" {
			out = append(out, k)
		}
	}
	return out
}

// A visit is a page of a check-out or a test, by the keys that lead to it.
type visit struct {
	fault string // of the Porthole; empty for none
	found bool   // the check-out is gone through first
	keys  string // with spaces between
}

var visits = map[string]visit{
	"start":               {},
	"parts":               {keys: "2"},
	"first question":      {keys: "1"},
	"second question":     {keys: "1 1"},
	"what is left":        {keys: "1 1 a"},
	"earlier answers":     {keys: "1 1 1 e"},
	"change an answer":    {keys: "1 1 e 1"},
	"ended early":         {keys: "1 3 x"},
	"sound":               {found: true},
	"open joint":          {fault: "open-joint pixel 60", found: true},
	"open joint, off":     {fault: "open-joint pixel 60", found: true, keys: "l"},
	"order":               {fault: "wrong-order pixel 1 order RGB", found: true},
	"order into the plan": {fault: "wrong-order pixel 1 order RGB", found: true, keys: "p"},
	"count":               {fault: "count run 3 by -1", found: true},
	"run backwards":       {fault: "run-backwards run 2", found: true},
	"flex test":           {keys: "3"},
	"flex test, second":   {keys: "3 1"},
	"flex test, loose":    {keys: "3 2 2 2"},
	"load test":           {keys: "4"},
	"load test, typing":   {keys: "4 4"},
	"roll call":           {keys: "5"},
	"roll call, counted":  {keys: "5 n 1 4 4 enter"},
}

// sizes are the windows that pages are looked at in.
var sizes = [][2]int{{50, 20}, {80, 24}, {120, 40}, {160, 50}, {200, 60}}

// rowsOf are the rows of a page in a window: the bench takes four, and one more from 24
// rows on.
func rowsOf(size [2]int) int {
	if size[1] < 24 {
		return size[1] - 4
	}
	return size[1] - 5
}

// open goes to the page of a visit, in the colours of depth.
func (v visit) open(t *testing.T, depth termenv.Profile) *evening {
	t.Helper()
	p, path := onDisk(t, "porthole")
	var faults []strip.Fault
	if v.fault != "" {
		faults = append(faults, faultOf(t, p, v.fault))
	}
	st := styles(depth)
	if depth == termenv.Ascii && os.Getenv("RINGOUT_CAPTURES") != "" {
		st = style.NoColour() // captures show what NO_COLOR leaves
	}
	e := begin(t, Options{Style: st}, p, path, faults...)
	if v.found {
		e.press("1")
		e.through()
	}
	e.press(strings.Fields(v.keys)...)
	return e
}

// TestCaptures writes every page at every size and palette into the folder that
// RINGOUT_CAPTURES names, for .ci/pictures.
func TestCaptures(t *testing.T) {
	to := os.Getenv("RINGOUT_CAPTURES")
	if to == "" {
		t.Skip("set RINGOUT_CAPTURES to a folder")
	}
	for palette, depth := range map[string]termenv.Profile{"true": termenv.TrueColor, "256": termenv.ANSI256, "16": termenv.ANSI, "none": termenv.Ascii} {
		for name, v := range visits {
			e := v.open(t, depth)
			for _, size := range sizes {
				e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
				file := fmt.Sprintf("%s-page-%s-%dx%d.ansi", palette, strings.NewReplacer(" ", "-", ",", "").Replace(name), size[0], size[1])
				require.NoError(t, os.WriteFile(filepath.Join(to, file), []byte(e.m.View(size[0], rowsOf(size))), 0o644))
			}
		}
	}
}

// What the foot line of a page hints at acts there now; what the page of keys lists
// does so now or after one other of its keys.
func TestNoHintForADeadKey(t *testing.T) {
	for name, v := range visits {
		for i, size := range sizes {
			if os.Getenv("RINGOUT_LONG") == "" && i%3 != 0 {
				continue // two sizes in the usual run
			}
			t.Run(fmt.Sprint(name, " ", size), func(t *testing.T) {
				e := v.open(t, termenv.Ascii)
				e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
				for _, b := range e.m.Keys().ShortHelp() {
					assert.True(t, e.anyActs(b), "the foot line hints at a dead key: %s %s", b.Help().Key, b.Help().Desc)
					for _, k := range namedKeys(b) {
						if k[0] >= '0' && k[0] <= '9' && b.Help().Desc != "type" {
							at := e
							if on[testPage](e.m) { // an answer changes the trial itself
								at = v.open(t, termenv.Ascii)
								at.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
							}
							assert.True(t, at.acts(k), "the foot line hints at a dead digit: %s of %s", k, b.Help().Key)
						}
					}
				}
				all := e.m.Keys().FullHelp()[0]
				for _, b := range all {
					at := e
					if on[testPage](e.m) { // a key before this one has changed the trial itself
						at = v.open(t, termenv.Ascii)
						at.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
					}
					assert.True(t, at.anyActs(b) || at.actsLater(b) || at.actsAfterAnAnswer(b), "the page of keys lists a dead key: %s %s", b.Help().Key, b.Help().Desc)
				}
			})
		}
	}
}

func (e *evening) anyActs(b key.Binding) bool {
	for _, k := range namedKeys(b) {
		if e.acts(k) {
			return true
		}
	}
	return false
}

// actsAfterAnAnswer reports whether a key acts in a test whose first question is answered.
func (e *evening) actsAfterAnAnswer(b key.Binding) bool {
	if !on[testPage](e.m) {
		return false
	}
	e.press(e.trial().now().Answers[0].Press)
	return e.anyActs(b)
}

// actsLater reports whether a key acts after an arrow or a level key.
func (e *evening) actsLater(b key.Binding) bool {
	was, wants := e.m, len(e.out.wants)
	defer func() { e.m, e.out.wants = was, e.out.wants[:wants] }()
	for _, first := range []string{"down", "up", "+", "-", "pgdown"} {
		e.out.wants = e.out.wants[:wants]
		next, _ := was.Update(named(first))
		e.m = next.(Model)
		if e.anyActs(b) {
			return true
		}
	}
	return false
}
