package check

import (
	"fmt"
	"strings"
	"testing"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
)

// acts reports whether a key changes the page, asks something of the show, or makes
// work. A sentence that the key does nothing here is no change.
func (e *evening) acts(k string) bool {
	before, wants := e.m.View(e.m.size.Width, e.m.size.Height), len(e.out.wants)
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
	signs := map[string]string{"←": "left", "↑": "up", "↓": "down", "pgdn": "pgdown", "1-9": "1", "1-9,": "1", "…": "", "space": " "}
	for _, k := range strings.Fields(b.Help().Key) {
		if s, ok := signs[k]; ok {
			k = s
		}
		if k != "" {
			out = append(out, k)
		}
	}
	return out
}

// What the foot line of a page hints at acts there now; what the page of keys lists
// does so now or after one other of its keys.
func TestNoHintForADeadKey(t *testing.T) {
	file := func(fault string) func(*testing.T) *evening {
		return func(t *testing.T) *evening {
			p, path := onDisk(t, "porthole")
			if fault == "" {
				return begin(t, Options{}, p, path)
			}
			return begin(t, Options{}, p, path, faultOf(t, p, fault))
		}
	}
	found := func(fault string) func(*testing.T) *evening {
		return func(t *testing.T) *evening {
			e := file(fault)(t)
			e.press("1")
			e.through()
			return e
		}
	}
	for name, row := range map[string]struct {
		open func(*testing.T) *evening
		keys string
	}{
		"start":               {file(""), ""},
		"parts":               {file(""), "2"},
		"first question":      {file(""), "1"},
		"second question":     {file(""), "1 1"},
		"earlier answers":     {file(""), "1 1 1 e"},
		"change an answer":    {file(""), "1 1 e 1"},
		"ended early":         {file(""), "1 3 x"},
		"sound":               {found(""), ""},
		"open joint":          {found("open-joint pixel 60"), ""},
		"open joint, off":     {found("open-joint pixel 60"), "l"},
		"order":               {found("wrong-order pixel 1 order RGB"), ""},
		"order into the plan": {found("wrong-order pixel 1 order RGB"), "p"},
		"count":               {found("count run 3 by -1"), ""},
		"flex test":           {file(""), "3"},
		"flex test, second":   {file(""), "3 1"},
		"flex test, loose":    {file(""), "3 2 2 2"},
		"load test":           {file(""), "4"},
		"load test, typing":   {file(""), "4 4"},
		"roll call":           {file(""), "5"},
		"roll call, counted":  {file(""), "5 n 1 4 4 enter"},
	} {
		for _, width := range []int{50, 120} {
			t.Run(fmt.Sprint(name, " ", width), func(t *testing.T) {
				e := row.open(t)
				e.press(strings.Fields(row.keys)...)
				e.feed(tea.WindowSizeMsg{Width: width, Height: 20})
				for _, b := range e.m.Keys().ShortHelp() {
					assert.True(t, e.anyActs(b), "the foot line hints at a dead key: %s %s", b.Help().Key, b.Help().Desc)
				}
				all := e.m.Keys().FullHelp()[0]
				for _, b := range all {
					assert.True(t, e.anyActs(b) || e.actsLater(b), "the page of keys lists a dead key: %s %s", b.Help().Key, b.Help().Desc)
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

// actsLater reports whether a key acts after an arrow or a level key.
func (e *evening) actsLater(b key.Binding) bool {
	was := e.m
	defer func() { e.m = was }()
	for _, first := range []string{"down", "up", "+", "-", "pgdown"} {
		next, _ := was.Update(named(first))
		e.m = next.(Model)
		if e.anyActs(b) {
			return true
		}
	}
	return false
}
