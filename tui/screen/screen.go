// Package screen is the interface between the bench and its screens: the methods of a
// screen and the messages that screens may get.
//
// To add a screen:
//
//  1. make a folder beside this one, with a Model that fulfils Screen; tui/plan is
//     one to look at. Two columns stay free at the left and the right; style.Wrap
//     breaks a text into lines, portrait.Words writes a few words large below them,
//     style.Fit cuts and fills a view to its size;
//  2. give it a keyMap of its own (fields of key.Binding with help texts), or one
//     whose methods return nil where it has no keys. The first letter of its Name
//     jumps to it. Neither the letter nor a key may be another screen's letter or one
//     of the bench's (keys.go);
//  3. keep what ReadyMsg brings, if the screen needs the prop or the show. While
//     there is none the foot says so already, and portrait.NoPropPage says what to do, large;
//  4. add one line to the list in tui/screens.go;
//  5. name its folder in the table outward of internal/arch, with the reason,
//     if it reaches package net through what it imports, as most screens do;
//  6. give it states in tui/states_test.go, as the ones there (named as the screen; the
//     first key, enter, leaves the front page, and the first letter of the Name jumps to
//     the screen; where there is no prop that letter is typed into Set-up, so use tab), one
//     of them "without a prop": they get goldens of their own, and are held against the
//     rules for every page;
//  7. fulfil FarViewer, if it has something to say from far away; else f
//     shows the name and size of the prop;
//  8. the head line of every screen then has one name more: run ".ci/goldens ./tui"
//     before your change, which must leave nothing to commit, and after it. In
//     those that were there only the head line and the column of the bench's
//     keys should differ. Where the names do not fit any more, tui/bench shows
//     the open one's alone (at 50 columns there is room for six short names), and
//     the prop's name goes first (at 80 columns).
//
// Where one of 2, 4 to 6 is missing a test fails: go test ./tui/... ./internal/arch.
//
// Sizes are terminal cells.
package screen

import (
	"github.com/charmbracelet/bubbles/help"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/protocol"
)

// A Screen is one page of the bench. Update returns the changed screen; View
// reads nothing but the screen itself and fits its text into width x height.
type Screen interface {
	Name() string // in the head line, one short word; its first letter jumps to it
	Keys() help.KeyMap
	Typing() bool // true while letters belong to a text field
	Update(tea.Msg) (Screen, tea.Cmd)
	View(width, height int) string
}

// A Follower is a screen that gets SnapshotMsg and LightMsg, many times a second. Others do
// not.
type Follower interface {
	Follow()
}

// A Prose screen has texts that may have a question mark in them: while one is typed, ?
// belongs to it, and f1 lists the keys.
type Prose interface {
	Prose()
}

// An Editor is a screen that may have unsaved work. The bench asks once before q or Ctrl-C
// loses it.
type Editor interface {
	Unsaved() string // what has unsaved changes; empty when nothing has
}

// A Draft is unsaved text of a file.
type Draft struct {
	Path  string // of the file; empty when it has none
	Prop  string // the prop file to open it again with; empty is Path
	Text  string
	Taken string // file of an earlier draft that this one continues from; empty for none
}

// A Drafter returns its unsaved work when the program must end without a question. It is
// called from another goroutine, on a copy of the screen.
type Drafter interface {
	Draft() (d Draft, ok bool) // false when nothing would be lost
}

// A Reminder is a screen with a sentence for the front page.
type Reminder interface {
	Remind() string // a sentence; empty for nothing
}

// A FarViewer is a screen with a far view of its own.
type FarViewer interface{ FarView() FarView }

// A FarView is one thing shown very large, to be read from two metres.
type FarView struct {
	Texts   []string                      // the same text, each form shorter than the one before; never empty
	Bad     bool                          // the text is a warning
	Good    bool                          // the text says that all is well, and nothing is left to do
	Answers []string                      // answers, each with its key first; may be empty
	Ink     func(lines []string) []string // the letters in a colour, with a rim of its ground; nil for the style of the page
	Brief   []string                      // the same answers in one word or two, to be large in a small window; nil for none
}

// A Waiter is a screen that may wait for the person. While it waits and motion is allowed,
// it gets PulseMsg a few times a second.
type Waiter interface{ Waiting() bool }

// PulseMsg moves the pulse along the data path by one arrowhead. A negative step
// ends it.
type PulseMsg struct{ Step int }

// A Closer is a screen with something open that must be restored before the program ends.
// Closing begins that; wait returns when it is done.
type Closer interface{ Closing() (wait func()) }

// An Output is the part of the show that a screen may use. Set never waits.
type Output interface{ Set(show.Want) }

// A Listener listens to universes besides those that are sent. Want replaces the list of
// the Want before and never waits.
type Listener interface {
	Want(more ...protocol.Universe)
}

// AskingMsg tells every screen that the bench asks whether to leave unsaved work. Until it says false the
// bench takes every key, so that a page offers none.
type AskingMsg bool

// ReadyMsg tells every screen that a prop is connected, once for each prop. Out and Listener
// of an earlier one are then closed and must not be used.
type ReadyMsg struct {
	Prop     *prop.Prop // never changed after this
	Out      Output
	Demo     bool     // the prop is simulated, its light arrives as LightMsg
	Listener Listener // nil when nothing listens

	// StandIn: the simulated prop replaces the real one of a file. Path is then empty, so
	// that nothing is recorded for the real one.
	StandIn bool

	// Path is the prop file it was read from; empty for a prop without one.
	// A screen that edits the file loads it again, since others may have saved.
	Path string
}

// SnapshotMsg is the newest report of the show, for every Follower.
type SnapshotMsg show.Snapshot

// Calm implements paint.Calm: a report in which only times and counts changed is not urgent.
func (s SnapshotMsg) Calm() bool { return s.Still }

// LightMsg is the light of the simulated strip, for every Follower; only in the demo.
type LightMsg strip.Look

// TrafficMsg is the report of the listener, a few times a second, for every screen.
type TrafficMsg traffic.News

// Calm implements paint.Calm.
func (TrafficMsg) Calm() bool { return true }

// EnterMsg tells a screen that it is now the one shown, LeaveMsg that it no
// longer is. A screen that lights the prop sets its Want on EnterMsg.
type (
	EnterMsg struct{}
	LeaveMsg struct{}
)

// UseMsg asks the bench to connect this prop in place of the one it has. The
// answer is a ReadyMsg, or a TroubleMsg to the screen that asked.
type UseMsg struct {
	Prop *prop.Prop
	Path string // of its prop file; empty for none
}

// TroubleMsg is the reason why a prop could not be connected, for every screen.
type TroubleMsg struct{ Err error }

// RecordedMsg tells every screen that the bench record in the file Path has a new entry.
type RecordedMsg struct{ Path string }

// GoMsg asks the bench to show the screen of that name. With Count that screen gets it too,
// as a request for a roll call.
type GoMsg struct {
	Name  string
	Count bool
}

// Ask makes a command of a message for the bench.
func Ask(m tea.Msg) tea.Cmd { return func() tea.Msg { return m } }
