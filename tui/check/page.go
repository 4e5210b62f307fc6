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
// To add a page: 1. implement this in a file of its own (basePage, below, has the methods
// that most pages do not need); 2. open it from the page that leads to it with
// Model.open.
type page interface {
	// lines draws the page, and returns the places of its items, for the mouse.
	lines(m Model, width, height int) ([]string, []zone)
	// press takes a key; false when the page does not know it.
	press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool)
	// take does the action of an item.
	take(m Model, item int) (Model, tea.Cmd)
	// back undoes the last step, for ←; leave goes one page up, for esc.
	back(m Model) (Model, tea.Cmd)
	leave(m Model) Model
	// shows is what the prop shows; the zero Want is dark. Level and Serial are the
	// Model's.
	shows(m Model) show.Want
	// pictures is what is drawn besides the light.
	pictures(m Model) pictures
	// lift is the level that the page needs instead of the chosen one; else 0.
	lift(m Model) float64
	// help are the keys with an effect on this page now, most needed first.
	help(m Model) []key.Binding
	// farView is the content of the page for reading from afar.
	farView(m Model) screen.FarView
	// traits are the properties of the page that keys and hints depend on.
	traits(m Model) traits
	// voltmeter is the reading of the demo's voltmeter at the page's place.
	voltmeter(m Model) meter
	// byCamera is the page itself if it belongs to a proof by camera; else nil.
	byCamera() proofPage
	// found gives the cameras of this machine to the page that lists them.
	found(m Model, cameras []camera.Camera) Model
}

// traits are the properties of a page that keys and hints depend on. Most pages have
// none.
type traits struct {
	first   bool // the start, which esc does not leave
	typing  bool // all letters belong to a line that is typed
	asks    bool // it has a question of the check-out
	loses   bool // leaving it would lose something
	scrolls bool // ↑ and ↓ scroll and do not choose lines
}

// basePage has the methods of most pages: the prop is dark, and esc and ← lead to the
// start.
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
		m.work.job++ // drops the result of the command under way
		m.work.busy = false
	}
	return m.open(startPage{})
}

// none is the choice of no line: a stray enter must not answer a question.
const none = -1

// A choice is the item of a list that is chosen, or none.
type choice int

// moved is the choice after an arrow key; false for other keys.
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

// picked is the item that enter or a digit chooses in a list with digits from 1, or none
// with a note why. ok is false for other keys.
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

// moved is the scroll after a key, in so many lines of text; false for other keys.
func (s scroll) moved(m Model, k tea.KeyMsg, lines, height int) (scroll, bool) {
	page := scroll(max(1, min(10, (height-1)/2))) // as much as scrolled shows at least
	by := scroll(0)
	switch {
	case key.Matches(k, m.keys.Up):
		by = -1
	case key.Matches(k, m.keys.Down):
		by = 1
	case key.Matches(k, m.keys.PgUp):
		by = -page
	case key.Matches(k, m.keys.PgDown):
		by = page
	default:
		return s, false
	}
	return max(0, min(s+by, scroll(lines-height))), true
}
