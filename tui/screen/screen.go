// Package screen is what the bench and its screens say to each other: the
// interface a screen fulfils and the messages that every screen may get.
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
//     there is none the foot says so already, and portrait.NoPropPage says it large;
//  4. add one line to the list in tui/screens.go;
//  5. name its folder in the table outward of internal/arch, with the reason,
//     if it reaches package net through what it imports, as most screens do;
//  6. give it states in tui/states_test.go, as the ones there (named as the screen; the
//     first key, enter, leaves the front page), one of them "without a prop": they get
//     goldens of their own, and are held against the rules for every page;
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

// A Follower is a screen that shows what the show does at each moment: it gets
// SnapshotMsg and LightMsg, many times a second. Others do not.
type Follower interface {
	Follow()
}

// A Prose screen has texts that may have a question mark in them: while one is typed, ?
// belongs to it, and f1 lists the keys.
type Prose interface {
	Prose()
}

// A Keeper is a screen that may hold work which is not saved. The bench asks
// once before q or Ctrl-C leaves it behind.
type Keeper interface {
	Unsaved() string // what has unsaved changes; empty when nothing has
}

// A Draft is what should be in a file and is not saved.
type Draft struct {
	Path  string // of the file; empty when it has none
	Prop  string // the prop file to open it again with; empty is Path
	Text  string
	Taken string // file of an earlier draft that this one continues from; empty for none
}

// A Drafter hands over its work when the program must end without asking. It is
// called from another goroutine, on a copy of the screen.
type Drafter interface {
	Draft() (d Draft, ok bool) // false when nothing would be lost
}

// A Reminder has something to say before anything else; the front page says it.
type Reminder interface {
	Remind() string // a sentence; empty for nothing
}

// A FarViewer has one thing to show very large, for someone two metres away.
type FarViewer interface{ FarView() FarView }

// A FarView is that one thing.
type FarView struct {
	Texts   []string // the same in ever fewer words; never empty
	Bad     bool     // they warn, and look as on the page
	Answers []string // what can be pressed, each with its key first; may be empty
}

// A Waiter is a screen that may wait for the person. While it does and motion is
// wanted, PulseMsg comes a few times a second.
type Waiter interface{ Waiting() bool }

// PulseMsg moves the pulse along the data path by one arrowhead. A negative step
// ends it.
type PulseMsg struct{ Step int }

// A Closer holds something open that must be put back before the program ends.
// Closing begins it; what it returns waits until that is done.
type Closer interface{ Closing() (wait func()) }

// An Output is all that a screen may ask of the show. Set never waits.
type Output interface{ Set(show.Want) }

// A Listener listens to more than the universes that are sent. Want takes the place
// of the Want before and never waits.
type Listener interface {
	Want(more ...protocol.Universe)
}

// ReadyMsg tells every screen that a prop is connected. It comes once for each
// prop; what an earlier one brought is then closed and must not be used.
type ReadyMsg struct {
	Prop     *prop.Prop // never changed after this
	Out      Output
	Demo     bool     // the prop is simulated, its light arrives as LightMsg
	Listener Listener // nil when nothing listens

	// StandIn says that the simulated prop replaces the real one of a file:
	// Path is then empty, so that nothing of it is recorded there.
	StandIn bool

	// Path is the prop file it was read from; empty for a prop without one.
	// A screen that edits the file loads it again, since others may have saved.
	Path string
}

// SnapshotMsg is what the show last did. It reaches every Follower.
type SnapshotMsg show.Snapshot

// Calm is for tui/paint: how the links fare may be drawn a little later.
func (s SnapshotMsg) Calm() bool { return s.Still }

// LightMsg is what the simulated strip lights now. It reaches every Follower,
// only in the demo.
type LightMsg strip.Look

// TrafficMsg is what was heard on the network, a few times a second while
// something listens. It reaches every screen.
type TrafficMsg traffic.News

// Calm is for tui/paint.
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

// TroubleMsg is why a prop could not be connected. It reaches every screen.
type TroubleMsg struct{ Err error }

// RecordedMsg says that the bench record in the file Path has a new entry. It
// reaches every screen.
type RecordedMsg struct{ Path string }

// GoMsg asks the bench to show the screen of that name. With Count it reaches
// that screen too: it is asked for a roll call.
type GoMsg struct {
	Name  string
	Count bool
}

// Ask makes a command of a message for the bench.
func Ask(m tea.Msg) tea.Cmd { return func() tea.Msg { return m } }
