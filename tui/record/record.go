// Package record is the screen of the bench record: all check-outs and notes of the prop on
// the bench, the comparison of two of them, what is due, new notes, and the bench sheet.
//
// Files are read and written in commands. Entries of the record are never changed, only
// added. They count from 1 on the screen, oldest first, as "ringout record" numbers them.
package record

import (
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// Options are the arguments of New.
type Options struct {
	Style   style.Styles
	Version string           // of the program, for notes and the sheet
	Now     func() time.Time // nil is time.Now
	Folder  string           // of settings, for an unsaved note that cannot be kept beside the record; empty for none
	Home    string           // folder offered when the prop's own can't be written; empty offers none
}

// Model is the record screen.
type Model struct {
	opt   Options
	style style.Styles
	keys  *keyMap
	size  tea.WindowSizeMsg

	prop      *prop.Prop // on the bench
	path      string     // its file; empty for none
	simulated bool       // the prop
	shown     bool

	job     int // number of the newest read; results of older ones are dropped
	reading bool
	history record.History
	due     []string
	failed  string // why the record can't be read

	page   page
	at     int   // entry chosen, from 0, oldest first
	marks  []int // entries marked, at most two, in the order of marking
	scroll int

	asking  bool    // the bench takes every key
	typing  *typing // a line being typed; nil for none
	draft   string  // a note that was begun and left
	kept    keptNote
	busy    bool           // something is being written
	writing []record.Entry // notes that are being written
	held    string         // the record, while another program has locked it
	pending []record.Entry
	why     string // why pending is not on disk
	note    string // answer to the last key
	bad     bool   // the note reports something that did not work

	laid   *layoutCache // caches of View, nothing else
	headed *layoutCache
	fitted map[string]bool
	drawn  *portrait.Portrait
	placed *picture
}

// New makes the screen.
func New(o Options) Model {
	if o.Now == nil {
		o.Now = time.Now
	}
	return Model{opt: o, style: o.Style, keys: newKeys(), page: listPage{}, at: -1, laid: &layoutCache{}, headed: &layoutCache{}, fitted: map[string]bool{}, drawn: &portrait.Portrait{}, placed: &picture{}}
}

// Name is the screen's name in the head line.
func (m Model) Name() string { return "Record" }

// Typing reports whether letters belong to a line being typed.
func (m Model) Typing() bool { return m.typing != nil }

// Prose implements screen.Prose: a note may have a question mark.
func (Model) Prose() {}

// entry is the chosen entry; false for none.
func (m Model) entry() (record.Entry, bool) {
	if m.at < 0 || m.at >= len(m.history.Entries) {
		return record.Entry{}, false
	}
	return m.history.Entries[m.at], true
}

// mark marks the chosen entry or removes its mark; a third mark removes the oldest.
func (m Model) mark() Model {
	e, ok := m.entry()
	switch i := slices.Index(m.marks, m.at); {
	case !ok:
		return m
	case i >= 0:
		m.marks = slices.Delete(slices.Clone(m.marks), i, i+1)
	case e.Kind != "check-out":
		return m.say("A note has nothing to compare: mark check-outs.", true)
	default:
		m.marks = append(slices.Clone(m.marks), m.at)
		m.marks = m.marks[max(0, len(m.marks)-2):]
	}
	if len(m.marks) == 2 {
		return m.say("Two are marked: c compares them.", false)
	}
	return m
}

// compare opens the comparison of the two that are marked, of the one marked
// and the one chosen, or of the last two check-outs.
func (m Model) compare() Model {
	pair := slices.Clone(m.marks)
	if e, ok := m.entry(); len(pair) == 1 && ok && e.Kind == "check-out" && pair[0] != m.at {
		pair = append(pair, m.at)
	}
	if len(pair) < 2 {
		pair = m.history.LastPair()
	}
	if len(pair) < 2 {
		return m.say("Two check-outs are needed to compare.", true)
	}
	m.page, m.scroll = comparePage{from: min(pair[0], pair[1]), to: max(pair[0], pair[1])}, 0
	return m
}

// say sets the note on the last key; bad when the key failed.
func (m Model) say(text string, bad bool) Model {
	m.note, m.bad = text, bad
	return m
}
