package tui

import (
	"context"

	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/traffic"
)

// Start runs a show, for Config.Connect. looks is the light of the simulated strip, nil
// for a real one. after is called once the show is dark, to stop the simulated strip; it
// may be nil.
func Start(sh *show.Show, looks <-chan strip.Look, after func()) Show {
	ctx, cancel := context.WithCancel(context.Background())
	r := &running{Show: sh, looks: looks, after: after, cancel: cancel, done: make(chan struct{})}
	go func() {
		defer close(r.done)
		r.err = sh.Run(ctx)
	}()
	return r
}

// running is a show that runs in its own goroutine.
type running struct {
	*show.Show
	looks  <-chan strip.Look
	after  func()
	cancel context.CancelFunc
	done   chan struct{}
	err    error // of Run; read after done
}

func (r *running) Looks() <-chan strip.Look { return r.looks }

// Traffic is nil, see WithTraffic.
func (r *running) Traffic() <-chan traffic.News { return nil }

// Close ends the show and waits until it is dark.
func (r *running) Close() error {
	r.cancel()
	<-r.done
	if r.after != nil {
		r.after()
		r.after = nil
	}
	return r.err
}
