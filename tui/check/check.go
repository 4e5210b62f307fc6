// Package check is the screen that leads through a check-out: it shows
// something, asks one thing a person can see at a glance, and ends in findings
// that go into the bench record.
//
// The engine may think for some tens of milliseconds, so it works in commands
// on copies; what it came to is a state, which is never changed. Results of an
// older command than the newest are dropped. Files are read and written in
// commands too. Pixels are numbered from 1 on the screen and from 0 in code.
package check

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// Options are what the screen is made of.
type Options struct {
	Style   style.Styles
	Version string                            // of the program, for the record
	Now     func() time.Time                  // nil is time.Now
	Folder  string                            // keeps unfinished check-outs of props without a file; empty keeps none
	Hidden  []strip.Fault                     // what was put into the demo's prop, told only at the end
	Faulty  bool                              // Hidden is known, even when it is empty
	Lay     func(p *prop.Prop, run int) error // lays one run of the demo's prop alone on its bench, or p, the whole, when run is -1; nil can't
	Mend    func()                            // takes Hidden out of the simulated prop, once it is connected anew; nil for none
}

// A page is one of the screen's pages.
type page uint8

const (
	startPage page = iota
	runsPage       // choose a run to check alone
	questionPage
	earlierPage // the questions so far, to change an answer
	changePage  // the answers of one of them
	findingPage
	planPage // what would change in the prop file
	countPage
	countedPage
	drillPage
	drilledPage
)

// Model is the check screen.
type Model struct {
	opt   Options
	style style.Styles
	keys  keyMap

	prop *prop.Prop // on the bench
	path string
	out  screen.Output
	demo bool
	snap screen.SnapshotMsg
	any  bool
	look strip.Look
	news traffic.News // what others send
	met  string       // a rival that was heard during this check-out

	page   page
	at     int // line chosen on this page; none until an arrow chooses an answer
	scroll int
	note   string // answer to the last key, gone with the next
	shown  bool
	size   tea.WindowSizeMsg
	turn   int // which drawing comes first
	draw   *drawings

	level float64
	lift  float64 // level of this one probe when it needs another; else 0
	dark  bool
	show  int // serial of what is sent

	job   int  // newest work of the engine
	busy  bool // it is not done yet
	st    state
	past  []state    // before each answer, the newest last, for taking back
	sub   *prop.Prop // what is checked: prop, or a part of it
	part  int        // which; see part.go
	first int        // first pixel of sub on the wire
	text  string     // the prop file as it was at the beginning

	kept     kept // unfinished check-out found on disk
	keeper   *keeper
	again    bool             // the demo's prop is being mended: check it again when it is back
	mended   []record.Finding // put right during this check-out
	change   int              // question whose answer is to be changed
	rec      recording
	entering *entering // a line being typed; nil for none
	plan     plan      // what the prop file would become
	call     call      // roll call
	drill    drill     // flex test, load test or bulb; nil for none
	drilled  drillResult
	onBench  int   // run that lies on the demo's bench alone; whole for the finished prop
	meter    meter // of the demo, in a load test
}

// New makes the screen.
func New(o Options) Model {
	if o.Now == nil {
		o.Now = time.Now
	}
	return Model{opt: o, style: o.Style, keys: newKeys(), level: show.StartLevel, part: whole, onBench: whole,
		show: firstSerial, draw: &drawings{}, keeper: &keeper{}}
}

// none is no line: a stray enter must not answer a question.
const none = -1

// firstSerial is far from the serials of other screens, so that the show sees
// a change when the screens take turns.
const firstSerial = 1 << 20

// Name is in the head line.
func (m Model) Name() string { return "Check" }

// Typing reports whether letters belong to a line being typed.
func (m Model) Typing() bool { return m.entering != nil }

// want is the whole wanted state. Findings leave the prop dark: iron next.
func (m Model) want() show.Want {
	w := show.Want{Level: m.level, Serial: m.show}
	if m.lift > 0 {
		w.Level = m.lift
	}
	switch {
	case m.dark:
		return show.Want{Serial: m.show, Ended: m.page == drillPage && m.drill.ended()}
	case m.probing():
		w.Frames = moved(m.st.probe.Show, m.first, m.sub.Pixels())
	case m.page == countPage:
		w.Frames = m.call.frames()
	case m.page == drillPage:
		w.Frames, w.Ended = m.drill.frames(), m.drill.ended()
	default:
		return show.Want{Serial: m.show}
	}
	return w
}

// probing reports whether a probe is shown.
func (m Model) probing() bool {
	return (m.page == questionPage || m.page == earlierPage || m.page == changePage) && m.st.more
}

// send hands the wanted state to the show, if this screen is shown.
func (m Model) send() {
	if m.shown && m.out != nil {
		m.out.Set(m.want())
	}
}

// fresh makes the show take what comes next as something new.
func (m Model) fresh() Model {
	m.show++
	return m
}

// picture is the frame a sound prop shows now, at full level.
func (m Model) picture() patterns.Frame {
	w := m.want()
	if w.Frames == nil || m.sub == nil {
		return nil
	}
	if m.probing() {
		return m.st.probe.Show(nil, m.sub.Pixels(), 0)
	}
	return w.Frames(nil, m.sub.Pixels(), 0)
}

// under reports whether a check-out is under way or has ended on the screen.
func (m Model) under() bool { return m.st.session != nil }

// A state is a check-out as the engine left it. It is never changed; work on
// its session is done on a copy.
type state struct {
	session  *checkout.Session
	probe    checkout.Probe
	more     bool // there is a probe to answer
	stopped  string
	left     bool   // the builder ended it before the engine did
	absent   string // why no light of ours can be on the prop; empty while nothing is known against it
	remedy   string // of that
	asked    []checkout.Asked
	open     checkout.Open
	suspects []suspect
	findings []checkout.Finding
	log      checkout.Log
}

// over reports whether no more is asked, by the engine's choice or the builder's.
func (s state) over() bool { return !s.more || s.left }
