// Package tui runs the bench in a terminal: it owns the goroutines that carry the
// show's reports to the screens, and it makes the prop dark however the program ends.
package tui

import (
	"context"
	"os"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/setup"

	"github.com/charmbracelet/lipgloss"
)

// A Show drives one prop until it is closed.
type Show interface {
	// Set asks for another state. It never waits.
	Set(show.Want)
	// Snapshots are the show's reports, at most 30 a second. The channel may be
	// closed when the show ends.
	Snapshots() <-chan show.Snapshot
	// Looks are the light of a simulated prop, the newest only (as Updates of
	// node.Node); nil for a real prop.
	Looks() <-chan strip.Look
	// Traffic is the packets of other sources, a few times a second, the newest
	// only; nil when nothing listens. See WithTraffic.
	Traffic() <-chan traffic.News
	// Close sends black, then three packets with Stream_Terminated on every
	// universe (ANSI E1.31-2018 6.2.6), and returns when that is done.
	Close() error
}

// Config is the arguments of Run. Connect is required; the zero value of the others
// is valid.
type Config struct {
	Prop *prop.Prop // connected at the start; nil starts with Set-up
	Path string     // of the file Prop was read from; empty for none
	// Document is the text of Prop, which the prop screen edits and writes to
	// Path; nil when Prop came from no text.
	Document *prop.Document

	Version string // beside the name on the first page
	Start   string // name of the screen behind the first page; empty is Light with a prop, Set-up without

	// Connect makes the show of a prop. It may wait; ctx ends when the bench
	// is left meanwhile.
	Connect func(ctx context.Context, p *prop.Prop) (Show, error)

	// Listen hears the network for the Traffic page before a prop is connected;
	// nil leaves that page empty until then. ctx ends with the bench.
	Listen func(ctx context.Context) (*link.Listener, error)

	Source string             // name to send under; empty is the usual one
	Rename func(string) error // sends under another from the next Connect on, and keeps it; nil leaves the name

	Setup      setup.Values                                 // of the last use; zero means the defaults
	SaveSetup  func(setup.Values) error                     // saves them; nil saves nothing
	Interfaces []string                                     // names of this machine's network interfaces
	Resolve    func(ctx context.Context, host string) error // whether a host has an address; nil skips it

	// Folder keeps unfinished check-outs of props without a file; empty keeps
	// none.
	Folder string
	// Spare is the folder for unsaved changes that cannot be written beside their
	// file; empty for none.
	Spare string
	// Notify gets a sentence for the builder after the terminal is restored; may be
	// nil.
	Notify func(string)
	// Hidden are the faults of a simulated prop, shown only at the end of a check-out.
	// Faulty says that Hidden is known, even when it is empty.
	Hidden []strip.Fault
	Faulty bool
	// Mend removes Hidden from the simulated prop, from the next Connect on; nil does
	// nothing.
	Mend func()
	// Lay puts one run of a simulated prop on its bench alone, not joined yet,
	// or the whole prop again when run is -1; nil can't.
	Lay func(p *prop.Prop, run int) error

	Seen bool   // the cautions were read on an earlier start
	See  func() // remembers that they were read; nil remembers nothing

	Still    bool       // motion on the pages is not wanted; NO_MOTION in the environment says the same
	SetStill func(bool) // remembers it; nil remembers nothing

	// Simulate puts a simulated prop in place of the real one, or takes it away,
	// from the next Connect on; nil can't.
	Simulate func(on bool)

	kept *prop.UnsavedFile // found by Run

	In, Out  *os.File           // nil means standard input and output
	Renderer *lipgloss.Renderer // nil means one for Out, by its environment
}
