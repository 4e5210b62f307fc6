// Package bench is the frame around every screen: the names of the pages, the status line
// of the sending, the keys, the front page with the cautions, and the end of the program.
//
// The bench owns no socket and no goroutine. Work that waits (connecting a prop, making it
// dark) is done by a Stage inside a command.
package bench

import (
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// The smallest terminal the screens are drawn for, in cells.
const (
	MinWidth  = 50
	MinHeight = 20
)

// A Stage connects props and makes them dark. Both wait, so they run inside commands.
type Stage interface {
	// Use closes the connected prop, connects p and returns a screen.ReadyMsg or a
	// screen.TroubleMsg.
	Use(p *prop.Prop) tea.Msg
	// Close makes the prop dark, ends the stage and returns then.
	Close()
}

// Options are the arguments of New.
type Options struct {
	Screens []screen.Screen // in the order of the head line; at least one
	Stage   Stage
	Style   style.Styles
	Prop    *prop.Prop // connected at the start when set
	Path    string     // of the file Prop was read from
	Start   string     // name of the screen behind the front page; empty is the first
	Version string

	Seen bool   // the cautions were read on an earlier start
	See  func() // remembers that they were read; nil remembers nothing

	Simulate func(on bool) // puts a simulated prop in place of the real one from the next Use on; nil can't

	Still    bool       // motion is not wanted
	SetStill func(bool) // remembers it; nil remembers nothing
}

// Model is the whole program.
type Model struct {
	opt           Options
	screens       []screen.Screen
	at            int
	keys          screen.BenchKeys
	width, height int
	front         bool // the front page is shown
	help          bool // the page of keys is shown
	far           bool // the far view is shown: one thing, very large
	motion        motion
	simulated     bool // by the key I, not from the start
	scroll        int  // first line of the page of keys
	leaving       bool
	chosen        bool   // the builder chose to leave
	sure          bool   // asked once whether to leave changes behind
	asked         string // the key that asked
	connecting    bool
	status        status
	portrait      *portrait.Portrait // of the front page
	warning       warning
	trouble       string
	path          string // prop file of what is connected or being connected
	real          string // path, while the prop is simulated by I
}

// New makes a bench that shows its front page.
func New(o Options) Model {
	m := Model{opt: o, screens: append([]screen.Screen(nil), o.Screens...), keys: keysOf(o.Screens), front: true}
	m.motion.still, m.portrait = o.Still, &portrait.Portrait{}
	m.at = max(0, m.find(o.Start))
	m.connecting, m.path = o.Prop != nil, o.Path
	return m
}

// keysOf are the bench's keys, with those that jump to the screens.
func keysOf(screens []screen.Screen) screen.BenchKeys {
	var names []string
	for _, s := range screens {
		names = append(names, s.Name())
	}
	return screen.Bench(names...)
}

// Init connects the prop, if there is one.
func (m Model) Init() tea.Cmd {
	if m.opt.Prop == nil {
		return nil
	}
	return m.use(m.opt.Prop)
}

func (m Model) use(p *prop.Prop) tea.Cmd {
	return func() tea.Msg { return m.opt.Stage.Use(p) }
}

// LeaveMsg asks the bench to make the prop dark and end, as q does.
type LeaveMsg struct{}

// leave makes the prop dark, then ends the program; until then the page says so.
func (m Model) leave() (Model, tea.Cmd) {
	if m.leaving {
		return m, nil
	}
	m.leaving = true
	var open []func()
	for _, s := range m.screens {
		if c, ok := s.(screen.Closer); ok {
			open = append(open, c.Closing())
		}
	}
	return m, func() tea.Msg {
		m.opt.Stage.Close()
		for _, wait := range open {
			wait()
		}
		return tea.Quit()
	}
}

// unsaved names the unsaved changes that q would lose; empty for none.
func (m Model) unsaved() string {
	for _, s := range m.screens {
		if k, ok := s.(screen.Editor); ok && k.Unsaved() != "" {
			return k.Unsaved()
		}
	}
	return ""
}

// Drafts are the unsaved changes that would be lost if the program ended now; none once
// the builder has chosen to leave.
func (m Model) Drafts() (all []screen.Draft) {
	if m.chosen {
		return nil
	}
	for _, s := range m.screens {
		if k, ok := s.(screen.Drafter); ok {
			if d, is := k.Draft(); is {
				all = append(all, d)
			}
		}
	}
	return all
}

// reminder is the first sentence of the front page; empty for none.
func (m Model) reminder() string {
	for _, s := range m.screens {
		if r, ok := s.(screen.Reminder); ok && r.Remind() != "" {
			return r.Remind()
		}
	}
	return ""
}

// find is the index of a screen by name, -1 when there is none.
func (m Model) find(name string) int {
	for i, s := range m.screens {
		if s.Name() == name {
			return i
		}
	}
	return -1
}

// body is the height left for a screen: without the line of names, the empty rows
// above and below the page, the status line and the line of keys.
func (m Model) body() int {
	rows := m.height - 4 - m.margin()
	if m.warns() {
		rows--
	}
	return max(0, rows)
}

// margin is the number of empty rows above every page; 0 in a low window.
func (m Model) margin() int {
	if m.height >= airyHeight {
		return 1
	}
	return 0
}

// airyHeight is the window height from which pages have a free row.
const airyHeight = 24

// tooSmall reports whether the window is too small; false while the size is not known, so
// that keys typed ahead are handled.
func (m Model) tooSmall() bool {
	return m.width > 0 && (m.width < MinWidth || m.height < MinHeight)
}
