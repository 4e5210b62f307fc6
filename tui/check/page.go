package check

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/screen"
)

// A page is one of the screen's pages: a small value with its own keys, update
// and view. What a key does to it is another value in Model.page.
//
// To add a page: 1. fulfil this in a file of its own (basePage, below, has what
// most pages do not need); 2. open it from the page that leads to it with
// Model.open.
type page interface {
	// lines draws the page, and says where the items stand for the mouse.
	lines(m Model, width, height int) ([]string, []zone)
	// press takes a key; false when the page does not know it.
	press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool)
	// take does what an item is for.
	take(m Model, item int) (Model, tea.Cmd)
	// back undoes the last step, for ←; leave goes one page up, for esc.
	back(m Model) (Model, tea.Cmd)
	leave(m Model) Model
	// shows is what is lit; the zero Want is dark. Level and Serial are the
	// Model's.
	shows(m Model) show.Want
	// pictures is what is drawn beside what is lit.
	pictures(m Model) pictures
	// lift is the level that the page needs instead of the chosen one; else 0.
	lift(m Model) float64
	// help is the keys that do something on this page now, most needed first.
	help(m Model) []key.Binding
	// farView is the one thing that the page has to show from afar.
	farView(m Model) screen.FarView
	// traits are what the keys and hints have to know of the page.
	traits(m Model) traits
	// voltmeter is what the demo's one reads at the place that the page asks about.
	voltmeter(m Model) meter
	// byCamera is the page as one of a proof by camera; nil for others.
	byCamera() proofPage
	// found takes the cameras of this machine, for the page that offers them.
	found(m Model, cameras []camera.Camera) Model
}

// traits are what the keys and hints have to know of a page. Most have none.
type traits struct {
	first   bool // the start, which esc does not leave
	typing  bool // all letters belong to a line that is typed
	asks    bool // it has a question of the check-out
	loses   bool // leaving it would lose something
	scrolls bool // ↑ and ↓ do not go through the lines that digits choose
}

// basePage is what most pages do: nothing is lit, and esc and ← lead to the start.
type basePage struct{}

func (basePage) take(m Model, _ int) (Model, tea.Cmd) { return m, nil }
func (basePage) back(m Model) (Model, tea.Cmd)        { return m.toStart(), nil }
func (basePage) leave(m Model) Model                  { return m.toStart() }
func (basePage) shows(Model) show.Want                { return show.Want{} }
func (basePage) pictures(Model) pictures              { return pictures{} }
func (basePage) lift(Model) float64                   { return 0 }
func (basePage) farView(Model) screen.FarView         { return screen.FarView{Texts: []string{"Check-out"}} }
func (basePage) traits(Model) traits                  { return traits{} }
func (basePage) voltmeter(Model) meter                { return meter{} }
func (basePage) byCamera() proofPage                  { return nil }

func (basePage) found(m Model, _ []camera.Camera) Model { return m }

// toStart goes to the start page. A check-out under way can be continued.
func (m Model) toStart() Model {
	if m.work.busy && !m.under() {
		m.work.job++ // what was being prepared is not wanted any more
		m.work.busy = false
	}
	return m.open(startPage{})
}

// none is no line: a stray enter must not answer a question.
const none = -1

// A choice is the item of a list that is chosen, or none.
type choice int

// moved is another choice by the arrows; false for other keys.
func (c choice) moved(m Model, k tea.KeyMsg, items int) (choice, bool) {
	by := 0
	switch {
	case key.Matches(k, m.keys.Up):
		by = -1
	case key.Matches(k, m.keys.Down):
		by = 1
	default:
		return c, false
	}
	if items == 0 {
		return none, true
	}
	if c == none && by < 0 {
		c = 0
	}
	return (c + choice(by) + choice(items)) % choice(items), true
}

// picked is the item that enter or a digit means in a list with digits from 1;
// a note says why there is none. The last is false for other keys.
func (c choice) picked(m Model, k tea.KeyMsg, items int) (item int, note string, ok bool) {
	switch {
	case key.Matches(k, m.keys.Take) && c == none && items > 0:
		return none, "Choose an answer first, by its key or with ↑ ↓.", true
	case key.Matches(k, m.keys.Take):
		return int(c), "", true
	case key.Matches(k, m.keys.Digit):
		item := int(k.Runes[0]-'0') - 1
		if item < 0 || item >= items {
			return none, "There is no such line here.", true
		}
		return item, "", true
	}
	return none, "", false
}

// A scroll is the first line that is shown of a page of text.
type scroll int

// moved is another place in a given number of lines of text; false for other keys.
func (s scroll) moved(m Model, k tea.KeyMsg, lines, height int) (scroll, bool) {
	by := scroll(0)
	switch {
	case key.Matches(k, m.keys.Up):
		by = -1
	case key.Matches(k, m.keys.Down):
		by = 1
	case key.Matches(k, m.keys.PgUp):
		by = -10
	case key.Matches(k, m.keys.PgDown):
		by = 10
	default:
		return s, false
	}
	return max(0, min(s+by, scroll(lines-height))), true
}
