package tui

import (
	"fmt"
	"runtime/debug"
	"sync"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/tui/bench"
)

// A Crash is a panic of the program that was caught: the prop is dark and the
// terminal restored. Stack is for a file, never for the screen.
type Crash struct {
	Value any
	Stack []byte
}

// Error is one sentence for the builder.
func (c *Crash) Error() string {
	return fmt.Sprintf("ringout met a fault of its own (%v) and has gone dark: start it again, and report this line if it comes back", c.Value)
}

// guard wraps the bench and turns a panic in it, or in one of its commands, into a
// Crash and a normal end. Bubble Tea would print the stack on the screen.
type guard struct {
	quit  func() // ends the program from outside its loop; nil in tests
	mu    sync.Mutex
	bench tea.Model // a value, so that other goroutines may read it
	crash *Crash
}

type crashMsg struct{}

// now is the current bench, for any goroutine.
func (g *guard) now() tea.Model {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.bench
}

func (g *guard) crashed() *Crash {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.crash
}

// caught stores the first panic.
func (g *guard) caught(v any) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.crash == nil {
		g.crash = &Crash{v, debug.Stack()}
		if g.quit != nil {
			go g.quit()
		}
	}
}

// Init starts the bench.
func (g *guard) Init() (cmd tea.Cmd) {
	defer func() {
		if v := recover(); v != nil {
			g.caught(v)
			cmd = tea.Quit
		}
	}()
	return g.wrap(g.bench.Init())
}

// Update passes messages to the bench; after a crash it only ends the program.
func (g *guard) Update(msg tea.Msg) (m tea.Model, cmd tea.Cmd) {
	m = g
	if g.crashed() != nil {
		return g, tea.Quit
	}
	defer func() {
		if v := recover(); v != nil {
			g.caught(v)
			cmd = tea.Quit
		}
	}()
	next, cmd := g.bench.Update(msg)
	g.mu.Lock()
	g.bench = next
	g.mu.Unlock()
	return g, g.wrap(cmd)
}

// View draws the bench. A crash while drawing shows nothing more.
func (g *guard) View() (s string) {
	if g.crashed() != nil {
		return ""
	}
	defer func() {
		if v := recover(); v != nil {
			g.caught(v)
			s = ""
		}
	}()
	return g.bench.View()
}

// wrap makes a command that catches its own panic, and those of a batch.
func (g *guard) wrap(cmd tea.Cmd) tea.Cmd {
	if cmd == nil {
		return nil
	}
	return func() (msg tea.Msg) {
		defer func() {
			if v := recover(); v != nil {
				g.caught(v)
				msg = crashMsg{}
			}
		}()
		msg = cmd()
		if b, ok := msg.(tea.BatchMsg); ok {
			for i := range b {
				b[i] = g.wrap(b[i])
			}
		}
		return msg
	}
}

var _ tea.Model = bench.Model{}
