// Package paint puts the views of a Bubble Tea program on the terminal: when
// they change, at most thirty times a second, and only the lines that did.
//
// Bubble Tea's own renderer wakes sixty times a second and makes a view for every
// message, which was most of the processor time of a bench at rest. It still sets up and
// restores the terminal; its drawing is discarded.
//
// Views are lines of exactly the terminal's width, as style.Fit makes them.
package paint

import (
	"bytes"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/latest"
	"example.org/ringout/tui/ascii"
)

// gap is the least time between two views: a little less than between two snapshots of a
// show (30 a second), so that each snapshot is drawn.
const gap = 30 * time.Millisecond

// calmGap is the longest delay of a change that is not urgent.
const calmGap = time.Second

// Calm is a message whose change is not urgent, such as a count: it is drawn with the next
// other change, or after calmGap.
type Calm interface{ Calm() bool }

// A Painter is the output of one program, and wraps its model.
type Painter struct {
	ascii.Terminal // where it draws
	model          tea.Model
	send           func(tea.Msg)

	// These belong to the program's loop.
	drawn time.Time // when the last view was made
	due   time.Time // when the next one is due; zero when nothing has changed
	asked time.Time // when a dueMsg arrives; zero when none is under way

	next  latest.Value[string] // views on their way to the terminal
	fresh atomic.Bool          // draw all lines, as after a change of the size
	stop  chan struct{}

	writing sync.Mutex
	open    atomic.Bool // the terminal shows its alternate screen
	was     []string    // the lines on it
	buf     []byte
}

// dueMsg asks for the view that was delayed.
type dueMsg struct{}

// New makes a painter for a model on a terminal, and starts its goroutine,
// which Stop ends.
func New(m tea.Model, out ascii.Terminal) *Painter {
	p := &Painter{Terminal: out, model: m, next: latest.New[string](), stop: make(chan struct{})}
	go func() {
		for {
			select {
			case view := <-p.next:
				p.draw(view)
			case <-p.stop:
				return
			}
		}
	}()
	return p
}

// Program makes the program, in the alternate screen and without Bubble Tea's signal
// handler.
func (p *Painter) Program(more ...tea.ProgramOption) *tea.Program {
	const once = 1 // frames a second of Bubble Tea's own drawing, which is discarded
	prog := tea.NewProgram(p, append([]tea.ProgramOption{tea.WithOutput(p), tea.WithAltScreen(), tea.WithFPS(once), tea.WithoutSignalHandler()}, more...)...)
	p.send = prog.Send
	return prog
}

// Stop ends the goroutine once the program has ended. It does not wait for a
// terminal that takes no more text.
func (p *Painter) Stop() { close(p.stop) }

// Init implements tea.Model.
func (p *Painter) Init() tea.Cmd { return p.model.Init() }

// Update implements tea.Model.
func (p *Painter) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	var cmd tea.Cmd
	switch msg.(type) {
	case dueMsg:
		p.asked = time.Time{}
		return p, nil
	case tea.WindowSizeMsg:
		p.fresh.Store(true)
		p.drawn = time.Time{}
	}
	p.draws(msg)
	p.model, cmd = p.model.Update(msg)
	return p, cmd
}

// draws sets when the change of a message is due.
func (p *Painter) draws(msg tea.Msg) {
	due := p.drawn.Add(gap)
	if c, can := msg.(Calm); can && c.Calm() {
		due = p.drawn.Add(calmGap)
	}
	if p.due.IsZero() || due.Before(p.due) {
		p.due = due
	}
}

// View implements tea.Model: it draws the model's view, now or when it is due, and returns
// an empty text to Bubble Tea.
func (p *Painter) View() string {
	if p.due.IsZero() {
		return ""
	}
	now := time.Now()
	if wait := p.due.Sub(now); wait > 0 {
		if p.asked.IsZero() || p.due.Before(p.asked) {
			p.asked = p.due
			time.AfterFunc(wait, func() { p.send(dueMsg{}) })
		}
		return ""
	}
	p.drawn, p.due = now, time.Time{}
	p.next.Put(p.model.View())
	return ""
}

// draw writes the lines that are not on the terminal already.
func (p *Painter) draw(view string) {
	p.writing.Lock()
	defer p.writing.Unlock()
	if p.fresh.Swap(false) {
		p.was = nil
	}
	if view == "" || !p.open.Load() {
		return
	}
	b := p.buf[:0]
	lines := strings.Split(view, "\n")
	for i, line := range lines {
		if i < len(p.was) && p.was[i] == line {
			continue
		}
		b = append(strconv.AppendInt(append(b, "\x1b["...), int64(i+1), 10), ";1H"...)
		b = append(b, line...)
	}
	p.was, p.buf = lines, b
	if len(b) > 0 {
		p.Terminal.Write(b) // errors are ignored: when the terminal is gone, its input ends the program
	}
}

// Write passes on what Bubble Tea writes to the terminal, without its drawing.
func (p *Painter) Write(b []byte) (int, error) {
	if p.open.Load() && len(b) > len(ansi.CursorHomePosition) && bytes.HasPrefix(b, []byte(ansi.CursorHomePosition)) {
		return len(b), nil
	}
	p.writing.Lock()
	defer p.writing.Unlock()
	if bytes.Contains(b, []byte(ansi.ResetModeAltScreenSaveCursor)) {
		p.open.Store(false)
	}
	n, err := p.Terminal.Write(b)
	if bytes.Contains(b, []byte(ansi.SetModeAltScreenSaveCursor)) {
		p.open.Store(true)
	}
	return n, err
}
