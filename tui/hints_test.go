package tui

import (
	"fmt"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/show"
	"example.org/ringout/tui/bench"
	"example.org/ringout/tui/style"
)

// A hint is a key as a page names it, and what it says of it.
type hint struct{ keys, does string }

// accent is how keys are written, in the one colour for what can be turned, with what stands before what they
// do.
func accent(space string) *regexp.Regexp {
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(termenv.TrueColor)
	before, after, _ := strings.Cut(style.On(r, style.AnyGround).Accent.Render("x"), "x")
	return regexp.MustCompile(regexp.QuoteMeta(before) + "([^\x1b]+)" + regexp.QuoteMeta(after) + space + "([^\x1b]*)")
}

// hinted is a key in a line of hints, inText one anywhere.
var hinted, inText = accent(" "), accent("")

// named is how a key within a text is written: what else has its colour is longer, or no key.
var named = regexp.MustCompile(`^([!-~]|[←→↑↓]|enter|esc|space|tab|home|end|pgup|pgdn|ctrl\+[a-z]|f1)( ([!-~]|[←→↑↓]|home|end|pgup|pgdn))*$`)

// textHints are the keys within the text of a page.
func textHints(page []string) (out []hint) {
	for _, l := range page {
		for _, m := range inText.FindAllStringSubmatch(l, -1) {
			if named.MatchString(m[1]) {
				out = append(out, hint{m[1], strings.TrimSpace(m[2])})
			}
		}
	}
	return out
}

// hintsOf reads hints off lines in true colour.
func hintsOf(lines ...string) (out []hint) {
	for _, l := range lines {
		for _, m := range hinted.FindAllStringSubmatch(l, -1) {
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
		case len(k) == 3 && strings.HasPrefix(k, "1-"):
			out = append(out, strings.Split("123456789"[:k[2]-'0'], "")...)
		case strings.HasPrefix(k, ",") && len(k) > 1:
		default:
			out = append(out, k)
		}
	}
	return out
}

// refusals are answers to a key that does nothing.
var refusals = []string{"There is no such", "Choose an answer first", "Nothing waits to be", "has no steps", "No pattern has", "Nothing has been answered",
	"This is the first question", "Only a simulated prop has", "It is at the end", "This section stays", "There is nothing to take out"}

// sameWant reports whether two wants are the same light.
func sameWant(a, b show.Want) bool {
	same := (a.Frames == nil) == (b.Frames == nil)
	a.Frames, b.Frames = nil, nil // told apart by their serials
	return same && reflect.DeepEqual(a, b)
}

// acts reports whether a key changes what is shown, asks something else of the show, or
// makes work. wanted is the light that m asked for.
func (w *walker) acts(m bench.Model, wanted show.Want, key string) (bench.Model, bool) {
	before := m.View()
	w.asked = wanted
	next, cmd := m.Update(keyOf(key))
	after := next.(bench.Model)
	view := after.View()
	for _, r := range refusals {
		if strings.Contains(view, r) && !strings.Contains(before, r) {
			return after, false
		}
	}
	return after, view != before || !sameWant(w.asked, wanted) || asks(cmd)
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
var leads = []string{"q", "ctrl+c", "tab", "shift+tab", "esc", "f", "ctrl+f", "?", "f1", "ctrl+l"}

// alive reports whether a hinted key acts, or does once one of the others was
// pressed where later allows that: undo acts after a change.
func (w *walker) alive(h hint, others []hint, later bool, wanted show.Want) bool {
	for _, k := range h.pressed() {
		if _, ok := w.acts(w.m, wanted, k); ok {
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
			m, _ := w.acts(w.m, wanted, first)
			now := w.asked
			for _, k := range h.pressed() {
				if _, ok := w.acts(m, now, k); ok {
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
		assert.True(t, slices.ContainsFunc(keys, func(k string) bool { _, ok := w.acts(help, w.asked, k); return ok }), "the foot of the page of keys: %s %s", h.keys, h.does)
	}
}

// allKeys are the hints of the page of keys, which is scrolled through to its end, and
// that page.
func (w *walker) allKeys() (all []hint, help bench.Model) {
	next, _ := w.m.Update(keyOf("f1"))
	help = next.(bench.Model)
	page, last := help, ""
	for view := page.View(); view != last; view = page.View() {
		last = view
		lines := strings.Split(view, "\n")
		for _, h := range hintsOf(lines[1 : len(lines)-1]...) {
			if h.keys == "↓" && h.does == "" {
				continue // of this page's own line that says there is more, which is followed here
			}
			if !slices.ContainsFunc(all, func(o hint) bool { return o.keys == h.keys }) {
				all = append(all, h)
			}
		}
		next, _ = page.Update(keyOf("down"))
		page = next.(bench.Model)
	}
	return all, help
}

// No page hints at a key that does nothing there, at any size: what stands in the foot
// line acts now, what the page of keys lists acts now or after one other key.
func TestNoHintForADeadKey(t *testing.T) {
	for i, s := range states {
		if strings.Contains(s.keys, "?") || strings.HasSuffix(s.keys, " q") {
			continue // the bench's own pages, whose hints are not the screen's
		}
		for k, size := range append(sizes[:len(sizes):len(sizes)], [2]int{240, 60}) {
			long := os.Getenv("RINGOUT_LONG") != ""
			if !long && k > 0 && k < 4 && (i+k)%3 != 0 {
				continue // the least and the largest sizes are held always
			}
			t.Run(fmt.Sprintf("%s %dx%d", s.name, size[0], size[1]), func(t *testing.T) {
				inBubble(t, func(t *testing.T) {
					w := walk(t, s, size[0], size[1], termenv.TrueColor)
					defer w.Close()
					w.holdsFoot(t, s.again)
					if !strings.HasPrefix(s.name, "check, ") { // its answers go to one dialog, which all copies of the page share
						w.holdsText(t)
					}
					if long || i%5 == k { // the pages of keys of one state in five, each at one size
						w.holdsKeys(t, s)
					}
				})
			})
		}
	}
}

// holdsFoot: the foot line names keys, and each acts, or did so just now.
func (w *walker) holdsFoot(t *testing.T, again string) {
	lines := strings.Split(w.view(), "\n")
	short, wanted := hintsOf(lines[len(lines)-1]), w.asked
	assert.NotEmpty(t, short)
	for _, h := range short {
		assert.True(t, h.keys == again || w.alive(h, nil, false, wanted), "the foot line hints at a dead key: %s %s", h.keys, h.does)
	}
	w.asked = wanted
}

// holdsText: each key that the text of the page names acts now.
func (w *walker) holdsText(t *testing.T) {
	lines := strings.Split(w.view(), "\n")
	wanted := w.asked
	for _, h := range textHints(lines[:len(lines)-1]) {
		for _, k := range h.pressed() {
			_, ok := w.acts(w.m, wanted, k)
			assert.True(t, ok, "the text of the page hints at a dead key: %s of %s %s", k, h.keys, h.does)
		}
	}
	w.asked = wanted
}

// holdsKeys: so does each key of the page of keys, or after one other key; those of a far
// view act on the page that comes after it.
func (w *walker) holdsKeys(t *testing.T, s state) {
	wanted := w.asked
	all, help := w.allKeys()
	if all == nil {
		return
	}
	if strings.Contains(s.name, "far") {
		next, _ := help.Update(keyOf("z"))
		w.m = next.(bench.Model)
	}
	for _, h := range all {
		assert.True(t, h.keys == s.again || w.alive(h, all, true, wanted), "the page of keys lists a dead key: %s %s", h.keys, h.does)
	}
	w.footOfKeys(t, help)
}
