package tui

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/tui/bench"
)

// A hint is a key as a page names it, and what it says of it.
type hint struct{ keys, does string }

// accent is how keys are written: in the one colour for what can be turned.
var accent = regexp.MustCompile("\x1b\\[1;38;2;176;125;43m([^\x1b]+)\x1b\\[0m ([^\x1b]*)")

// hintsOf reads hints off lines in true colour.
func hintsOf(lines ...string) (out []hint) {
	for _, l := range lines {
		for _, m := range accent.FindAllStringSubmatch(l, -1) {
			out = append(out, hint{m[1], strings.TrimSpace(m[2])})
		}
	}
	return out
}

// pressed are the keys that a hint stands for.
func (h hint) pressed() (out []string) {
	signs := map[string]string{"←": "left", "→": "right", "↑": "up", "↓": "down", "pgdn": "pgdown", "…": ""}
	for _, k := range strings.Fields(strings.ReplaceAll(h.keys, ",", " ,")) {
		switch s, sign := signs[k]; {
		case sign && s == "":
		case sign:
			out = append(out, s)
		case k == "1-9":
			out = append(out, strings.Split("1 2 3 4 5 6 7 8 9", " ")...)
		case strings.HasPrefix(k, ",") && len(k) > 1:
		default:
			out = append(out, k)
		}
	}
	return out
}

// refusals are answers to a key that does nothing.
var refusals = []string{"There is no such", "Choose an answer first", "Nothing waits to be", "has no steps", "No pattern has", "Nothing has been answered",
	"This is the first question", "Only the demo has", "It is at the end", "This section stays", "There is nothing to take out"}

// acts reports whether a key changes what is shown, asks something of the show, or
// makes work.
func (w *walker) acts(m bench.Model, key string) (bench.Model, bool) {
	before, wants := m.View(), w.wants
	next, cmd := m.Update(keyOf(key))
	after := next.(bench.Model)
	view := after.View()
	for _, r := range refusals {
		if strings.Contains(view, r) && !strings.Contains(before, r) {
			return after, false
		}
	}
	return after, view != before || w.wants > wants || asks(cmd)
}

// asks reports whether a command comes to something, or takes its time.
func asks(cmd tea.Cmd) bool {
	if cmd == nil {
		return false
	}
	done := make(chan tea.Msg, 1)
	go func() { done <- cmd() }()
	select {
	case msg := <-done:
		if all, ok := msg.(tea.BatchMsg); ok {
			return slices.ContainsFunc(all, asks)
		}
		return msg != nil
	case <-time.After(time.Second):
		return true
	}
}

// leads are keys that lead to another page: what acts there proves nothing.
var leads = []string{"q", "ctrl+c", "tab", "shift+tab", "esc", "f", "ctrl+f", "?", "ctrl+l"}

// alive reports whether a hinted key acts, or does once one of the others was
// pressed where later allows that: undo acts after a change.
func (w *walker) alive(h hint, others []hint, later bool) bool {
	for _, k := range h.pressed() {
		if _, ok := w.acts(w.m, k); ok {
			return true
		}
	}
	if !later {
		return false
	}
	for _, o := range others {
		for _, first := range o.pressed() {
			if first != strings.ToLower(first) || slices.Contains(leads, first) {
				continue
			}
			m, _ := w.acts(w.m, first)
			for _, k := range h.pressed() {
				if _, ok := w.acts(m, k); ok {
					return true
				}
			}
		}
	}
	return false
}

// footOfKeys: what the foot of the page of keys names acts on that page.
func (w *walker) footOfKeys(t *testing.T, help bench.Model) {
	lines := strings.Split(help.View(), "\n")
	foot := hintsOf(lines[len(lines)-1])
	assert.NotEmpty(t, foot)
	for _, h := range foot {
		keys := h.pressed()
		if h.keys == "any key" {
			keys = []string{"z"}
		}
		assert.True(t, slices.ContainsFunc(keys, func(k string) bool { _, ok := w.acts(help, k); return ok }), "the foot of the page of keys: %s %s", h.keys, h.does)
	}
}

// No page hints at a key that does nothing there: what stands in the foot line acts
// now, what the page of keys lists acts now or after one other key.
func TestNoHintForADeadKey(t *testing.T) {
	for i, s := range states {
		if strings.Contains(s.keys, "?") || strings.HasSuffix(s.keys, " q") {
			continue // the bench's own pages, whose hints are not the screen's
		}
		t.Run(s.name, func(t *testing.T) {
			inBubble(t, func(t *testing.T) {
				w := walk(t, s, 240, 60, termenv.TrueColor)
				defer w.Close()
				lines := strings.Split(w.view(), "\n")
				short := hintsOf(lines[len(lines)-1])
				assert.NotEmpty(t, short)
				for _, h := range short {
					assert.True(t, w.alive(h, nil, false), "the foot line hints at a dead key: %s %s", h.keys, h.does)
				}
				if i%5 != 0 && os.Getenv("RINGOUT_LONG") == "" {
					return // the pages of keys of one state in five do in the usual run
				}
				help, _ := w.m.Update(keyOf("?"))
				page := strings.Split(help.View(), "\n")
				if ansi.Strip(help.View()) == ansi.Strip(w.view()) {
					return // ? is a letter here
				}
				if strings.Contains(s.name, "far") { // what is listed acts on the page, which comes after it
					next, _ := help.Update(keyOf("z"))
					w.m = next.(bench.Model)
				}
				all := hintsOf(page[1 : len(page)-1]...)
				for _, h := range all {
					assert.True(t, w.alive(h, all, true), "the page of keys lists a dead key: %s %s", h.keys, h.does)
				}
				w.footOfKeys(t, help.(bench.Model))
			})
		})
	}
}
