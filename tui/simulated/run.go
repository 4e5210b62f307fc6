package simulated

import (
	"context"
	"errors"
	"os"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"

	"example.org/ringout/tui/ascii"
	"example.org/ringout/tui/paint"

	_ "example.org/ringout/internal/background" // or the start may hang for seconds
	"example.org/ringout/internal/strip/node"
)

// Run shows a node until it is left or ctx ends. The caller closes the node.
func Run(ctx context.Context, n *node.Node, where string) error {
	r := lipgloss.NewRenderer(os.Stdout)
	r.SetHasDarkBackground(true)
	m := New(Options{Prop: n.Prop(), Faults: n.Faults(), Where: where, Style: ascii.Styles(r, os.Getenv), Now: time.Now})
	pt := paint.New(m, ascii.Output(os.Stdout, os.Getenv))
	defer pt.Stop()
	p := pt.Program(tea.WithContext(ctx))
	ctx, stop := context.WithCancel(ctx)
	done := make(chan struct{})
	go func() {
		defer close(done)
		relay(ctx, n, p.Send)
	}()
	_, err := p.Run()
	stop()
	<-done
	if errors.Is(err, tea.ErrProgramKilled) { // ctx ended
		return nil
	}
	return err
}

// relay sends looks as they arrive, at most 30 a second, and once a second the counts even
// if nothing changed.
func relay(ctx context.Context, n *node.Node, send func(tea.Msg)) {
	send(LookMsg{n.Look(), n.History()})
	for {
		select {
		case <-ctx.Done():
			return
		case <-n.Done():
			return
		case <-time.After(time.Second):
		case <-n.Updates():
			time.Sleep(time.Second / 30)
		}
		send(LookMsg{n.Look(), n.History()})
	}
}
