// Package plan is the screen of the prop itself: the figures of its file, which
// can be edited in place, and beside them all that follows from them: counts,
// cuts, addresses, amps and the voltage at every pixel.
//
// Figures stand as the file has them, units and all. Every change goes through
// prop.Document, so that the file keeps its comments and its order. The screen
// never holds a text that does not read well: what is refused stays in the line
// being edited, with the reason beside it.
//
// What follows is worked out in a command, since placing feeds can take a
// while: one at a time, and the newest figures win.
package plan

import (
	"path/filepath"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/entry"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// maxTyped is the most bytes of one value or file name.
const maxTyped = 400

// Options are what the screen is made of.
type Options struct {
	Style    style.Styles
	Document *prop.Document    // of the prop connected at the start; nil when there is none
	Path     string            // of its file; empty when it has none, as in the demo
	Kept     *prop.UnsavedFile // changes that were not saved when the program last ended; nil for none
	Rest     time.Duration     // how long figures must rest before the light uses them; 0 is usualRest
}

const usualRest = 300 * time.Millisecond

// Model is the screen.
type Model struct {
	style style.Styles
	keys  *keyMap
	size  tea.WindowSizeMsg

	doc   *prop.Document // never changed in place; nil until there is a prop
	path  string
	saved string  // the text that is on disk, or that needs no saving
	undo  []state // older ones, the newest last
	redo  []state
	all   bool // seldom needed keys are shown, too
	lines []line
	at    int // line chosen
	off   int // first line shown

	editing bool
	entry   entry.Line // what is typed
	bad     string     // why what was typed is refused
	naming  bool       // entry is a file name to save under
	sure    bool       // asked once whether to write over another text
	note    string     // answer to the last key
	saving  bool

	kept     *prop.UnsavedFile // changes of an earlier evening that wait
	dropping bool              // asked once whether to drop them
	taken    string            // file of those that were taken up, until they are saved

	connected *prop.Prop // what the show has
	from      string     // the path it was connected with
	asked     *prop.Prop // asked to connect, no answer yet
	refused   *prop.Prop // could not be connected: not asked again
	demo      bool
	standIn   bool // simulated in place of the real one: its path stays empty
	rest      time.Duration
	edits     int // counts changes of the document
	serial    int // of the figures, level and colour
	working   bool
	plan      *plan.Plan // newest that is worked out
	planOf    int        // its serial
	failed    string     // why there is none
	level     float64
	colour    int // 0 is all channels, then PaletteFor

	page   page
	scroll int
	drawn  *viewCache
	rev    int // of all that is drawn
}

// A state is what undo goes back to.
type state struct {
	doc         *prop.Document
	path, saved string
}

func (m Model) state() state { return state{m.doc, m.path, m.saved} }

// New makes the screen.
func New(o Options) Model {
	m := Model{style: o.Style, keys: newKeys(), path: o.Path, rest: o.Rest, kept: o.Kept, level: 1, page: pages[0], drawn: &viewCache{}}
	if m.rest == 0 {
		m.rest = usualRest
	}
	if o.Document != nil && o.Document.Prop() != nil {
		m.saved = o.Document.Text()
		m = m.with(o.Document)
	}
	return m
}

// Name is in the head line.
func (m Model) Name() string { return "Prop" }

// Typing is true while a value or a file name is typed.
func (m Model) Typing() bool { return m.editing || m.naming }

// Prose says that a name may have a question mark in it.
func (Model) Prose() {}

func (m Model) changed() bool { return m.doc != nil && m.doc.Text() != m.saved }

// fileName is what the file is called on the screen.
func (m Model) fileName() string {
	if m.path != "" {
		return style.Clean(filepath.Base(m.path))
	}
	return "the prop"
}

// with has another document; the line chosen stays where it can.
func (m Model) with(d *prop.Document) Model {
	m.doc = d
	return m.list()
}

// list makes the lines again and keeps to the figure that was chosen.
func (m Model) list() Model {
	var was prop.Where
	if m.at < len(m.lines) {
		was = m.lines[m.at].where
	}
	m.lines = linesOf(m.doc, m.all)
	for i, l := range m.lines {
		if l.head == "" && l.where == was {
			m.at = i
			return m
		}
	}
	m.editing, m.bad = false, "" // its line is gone
	return m.choose(min(m.at, len(m.lines)-1), 1)
}

// colours are those to calculate with.
func (m Model) colours() []patterns.NamedColour {
	out := []patterns.NamedColour{{Name: "all channels", Colour: power.FullWhite()}}
	if m.doc == nil {
		return out
	}
	return append(out, patterns.PaletteFor(m.doc.Prop().Chip.Order.Channels())...)
}

func (m Model) colourNow() patterns.NamedColour {
	all := m.colours()
	return all[m.colour%len(all)]
}

var _ screen.Screen = Model{}
