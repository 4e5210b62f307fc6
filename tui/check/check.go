// Package check is the screen of a check-out: it sends pictures, asks questions, and
// ends with findings that go into the bench record. The single tests are pages of it
// too.
//
// Each page is a small value with its own keys, update and view (page.go); the Model
// holds the state that they share. The check-out, its files and its record belong to
// internal/underway. The engine may take some tens of milliseconds, so it works in
// commands on copies; its result is a state, which is never changed. Only the result of
// the newest command is used. Pixels count from 1 on the screen and from 0 in code.
package check

import (
	"context"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	proofs "example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/proving"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/underway"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// Options are the arguments of New.
type Options struct {
	Style   style.Styles
	Version string                                                                       // of the program, for the record
	Now     func() time.Time                                                             // nil is time.Now
	Folder  string                                                                       // keeps unfinished check-outs of props without a file; empty keeps none
	Hidden  []strip.Fault                                                                // faults of the demo's prop, shown only at the end
	Faulty  bool                                                                         // Hidden is known, even when it is empty
	Lay     func(p *prop.Prop, run int) error                                            // lays one run of the demo's prop alone on its bench, or p, the whole, when run is -1; nil can't
	OpenEye func(ctx context.Context, name string, p *prop.Prop) (proving.Camera, error) // opens a camera; nil is proving.Open
	Cameras func(ctx context.Context) ([]camera.Camera, error)                           // of this machine; nil is camera.List
	Mend    func()                                                                       // takes Hidden out of the simulated prop, once it is connected again; nil for none
}

// Model is the check screen.
type Model struct {
	opt   Options
	style style.Styles
	keys  *keyMap
	size  tea.WindowSizeMsg
	shown bool
	page  page
	note  string // answer to the last key, gone with the next

	bench benchState
	demo  demo
	light lighting
	of    subject // the part of the prop that is checked
	st    state
	past  []state // before each answer, the newest last, for taking back
	work  work
	met   string // name of another source that was heard during this check-out

	desk *underway.Desk
	kept []record.UnfinishedCheck // unfinished check-outs and tests of the prop
	last []string                 // how its last check-out ended, to be written large; nil while unknown
	rec  recording
	draw *drawings
	turn int // which drawing comes first
}

// A benchState is the prop on the bench and the state of its light and traffic.
type benchState struct {
	prop *prop.Prop
	path string
	out  screen.Output
	demo bool
	snap screen.SnapshotMsg
	any  bool // a snapshot has arrived
	look strip.Look
	news traffic.News // of other sources
}

// A lighting is the state of what is sent, besides the page's frames.
type lighting struct {
	level  float64
	lift   float64 // level of this one step when it needs another; else 0
	off    bool
	serial int
	pulse  int // arrowhead of the drawings that is lit; negative for none
}

// A subject is the part of the prop that is checked.
type subject struct {
	part  underway.Part
	sub   *prop.Prop // the part as a prop of its own
	first int        // its first pixel on the wire
}

// A work is the state of the engine's commands.
type work struct {
	job  int  // number of the newest command
	busy bool // its result has not arrived
	save int  // number of the newest save
}

// New makes the screen.
func New(o Options) Model {
	if o.Now == nil {
		o.Now = time.Now
	}
	return Model{opt: o, style: o.Style, keys: newKeys(), page: startPage{}, light: lighting{level: patterns.StartLevel, serial: firstSerial, pulse: -1},
		demo: demo{hidden: o.Hidden, onBench: whole}, draw: &drawings{}}
}

// firstSerial differs from the serials of other screens, so that the show sees a change
// when another screen takes over.
const firstSerial = 1 << 20

// Name is the screen's name in the head line.
func (m Model) Name() string { return "Check" }

// Typing reports whether letters belong to a line being typed.
func (m Model) Typing() bool { return m.page.traits(m).typing }

// Unsaved names the record while a check-out is not on disk; empty otherwise, and for a
// simulated prop without a file.
func (m Model) Unsaved() string {
	if (len(m.rec.pending) > 0 || m.rec.held != "") && !(m.bench.demo && m.bench.path == "") {
		return "the bench record"
	}
	return ""
}

// want is the whole wanted state. Pages that show nothing leave the prop dark, since the
// user may solder next.
func (m Model) want() show.Want {
	w := m.page.shows(m)
	w.Serial = m.light.serial
	switch {
	case m.light.off:
		return show.Want{Serial: w.Serial, Ended: w.Ended}
	case w.Frames == nil:
		return w
	case m.light.lift > 0:
		w.Level = m.light.lift
	default:
		w.Level = m.light.level
	}
	return w
}

// send gives the wanted state to the show, if this screen is shown.
func (m Model) send() {
	if m.shown && m.bench.out != nil {
		m.bench.out.Set(m.want())
	}
}

// fresh counts up the serial, so that the show restarts the next pattern.
func (m Model) fresh() Model {
	m.light.serial++
	return m
}

// open shows a page, from its beginning.
func (m Model) open(p page) Model {
	m.page, m.light.lift, m.light.off = p, p.lift(m), false
	return m.fresh()
}

// under reports whether a check-out is under way or has ended on the screen.
func (m Model) under() bool { return m.st.Session != nil }

// A state is a check-out as the engine left it. It is never changed; work on
// its session is done on a copy.
type state struct {
	underway.CheckOut
	probe    checkout.Probe
	more     bool // there is a probe to answer
	stopped  string
	left     bool   // the builder ended it before the engine did
	absent   string // why the prop cannot be reached; else empty
	remedy   string // what to do about that
	asked    []checkout.AnsweredQuestion
	open     checkout.Open
	suspects []suspect
	findings []checkout.Finding
	points   *show.PlaceLight // at the fault that was found; nil for none
	dark     []bool           // the pixels that this fault leaves dark; nil where nothing points at one
	measured bool             // a load test since has found the copper sound
	proof    *proofs.Proof    // by a camera, if that answered; it may wait for tests before it signs the prop off
}

// over reports whether the check-out has ended, by the engine or by the builder.
func (s state) over() bool { return !s.more || s.left }

// stateOf copies everything that the screen shows out of the session.
func stateOf(c underway.CheckOut) state {
	s := c.Session
	st := state{CheckOut: c, stopped: s.Stopped(), asked: s.Asked(), open: s.Open()}
	st.probe, st.more = s.Next()
	st.suspects = suspects(c.Sub, s.EverySuspect())
	st.findings = c.Findings()
	if st.absent, st.remedy = s.Network().Advice(); st.absent != "" {
		st.findings = nil
	}
	if st.points = pointingAt(c.Sub, st.findings); st.points != nil {
		st.dark = leftDark(c.Sub, st.findings)
	}
	return st
}

// network is the state of the path to the prop: whether sending works, and whether
// another source drives the same universes.
func (m Model) network() checkout.Network {
	return underway.NetworkOf(m.bench.prop, m.bench.snap.Links, m.bench.news)
}

// troubleText is one line on a problem that changes the light of the prop; empty for
// none. Problems of sending are in the bench's line below.
func troubleText(m Model) string {
	if r := underway.Rival(m.bench.news); r != "" {
		return "Another source drives this universe: " + style.Clean(r) + ". What you see may be its light."
	}
	return ""
}
