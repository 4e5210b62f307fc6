package cli

import (
	"context"
	"errors"
	"sync"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/tui"
)

// A demoBench is the simulated bench: the prop whole or taken apart, with its
// fault or repaired. The screens and the connecting goroutine share it.
type demoBench struct {
	own   *identity
	whole *prop.Prop

	mu     sync.Mutex
	on     bool // simulate the prop; otherwise use its own address
	faults []strip.Fault
	node   *node.Node // node of the newest connection
}

// mend removes the fault. It takes effect at the next connection.
func (b *demoBench) mend() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.faults = nil
}

// serve sets the functions of a bench to this one.
func (b *demoBench) serve(cfg *tui.Config) {
	cfg.Mend, cfg.Lay, cfg.Connect = b.mend, b.lay, b.connect
}

// turn switches the simulation on or off, from the next connection on.
func (b *demoBench) turn(on bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.on = on
}

// connect starts the simulated prop and a show of it, or a show of the real one.
func (b *demoBench) connect(ctx context.Context, p *prop.Prop) (tui.Show, error) {
	b.mu.Lock()
	faults, on := b.faults, b.on
	b.mu.Unlock()
	if !on {
		return b.own.connectReal(ctx, p)
	}
	moved, node, err := simulate(ctx, p, faults)
	if err != nil {
		return nil, err
	}
	b.mu.Lock()
	b.whole, b.node = p, node
	b.mu.Unlock()
	return b.own.connect(ctx, moved, node)
}

// lay puts one run of the prop on the bench, or the whole prop p when run is
// -1.
func (b *demoBench) lay(p *prop.Prop, run int) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch {
	case b.node == nil:
		return errors.New("the simulated prop is not connected yet: try again in a moment")
	case run < 0:
		return b.node.Become(p, b.faults...)
	}
	return b.node.Become(p, strip.Alone(b.whole, run, p, b.faults)...)
}
