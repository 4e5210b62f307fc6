// Package plan is the Prop screen: the figures of the prop file, which can be edited in
// place, and the results of the plan: counts, cuts, addresses, amps and the voltage at
// every pixel.
//
// Figures are shown as in the file, with their units. Every change goes through
// prop.Document, so that the file keeps its comments and its order. The document is always
// valid: a refused value stays in the line being edited, with the reason below.
//
// The plan is computed in a command, since placing feeds takes time: one at a time, for
// the newest figures.
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

// Options are the arguments of New.
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
	asking  bool       // the bench takes every key
	naming  bool       // entry is a file name to save under
	sure    bool       // the builder was asked whether to overwrite another text
	note    string     // answer to the last key
	saving  bool

	kept     *prop.UnsavedFile // unsaved changes of an earlier run of the program
	dropping bool              // the builder was asked whether to drop them
	taken    string            // file of those that were restored, until they are saved

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
	plan      *plan.Plan // the newest plan
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

// Name is the screen's name in the head line.
func (m Model) Name() string { return "Prop" }

// Typing is true while a value or a file name is typed.
func (m Model) Typing() bool { return m.editing || m.naming }

// Prose says that a name may have a question mark in it.
func (Model) Prose() {}

func (m Model) changed() bool { return m.doc != nil && m.doc.Text() != m.saved }

// fileName is the name of the file on the screen.
func (m Model) fileName() string {
	if m.path != "" {
		return style.Clean(filepath.Base(m.path))
	}
	return "the prop"
}

// with replaces the document and keeps the chosen line if possible.
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

// colours are the colours for which power can be computed.
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
