package tui

import (
	"context"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/style"
)

// wire is an output of the show that keeps what it was given.
type wire struct {
	mu     sync.Mutex
	slots  [][]byte
	puts   int
	closed int
	target link.Target
}

func (w *wire) Put(slots [][]byte) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.slots = nil
	for _, s := range slots {
		w.slots = append(w.slots, slices.Clone(s))
	}
	w.puts++
}

func (w *wire) Status() []link.Status {
	return []link.Status{{Target: w.target, State: link.Sending, Rate: 44}}
}

func (w *wire) Close(context.Context) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.closed++
	for _, s := range w.slots {
		clear(s)
	}
	return nil
}

func (w *wire) lit() (n int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, s := range w.slots {
		for _, v := range s {
			if v > 0 {
				n++
			}
		}
	}
	return n
}

func (w *wire) ends() int {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.closed
}

// hall connects props to wires and remembers them.
type hall struct {
	mu    sync.Mutex
	wires []*wire
	props []*prop.Prop
	looks chan strip.Look
}

func (h *hall) connect(_ context.Context, p *prop.Prop) (Show, error) {
	w := &wire{target: link.Target{Universe: protocol.Universe(p.Address.Universe), Host: p.Address.Host}}
	sh, err := show.New(show.Config{Prop: p, Out: w})
	if err != nil {
		return nil, err
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.wires, h.props = append(h.wires, w), append(h.props, p)
	return Start(sh, h.looks, nil), nil
}

func (h *hall) last(t *testing.T) (*wire, *prop.Prop) {
	t.Helper()
	h.mu.Lock()
	defer h.mu.Unlock()
	require.NotEmpty(t, h.wires)
	return h.wires[len(h.wires)-1], h.props[len(h.props)-1]
}

func (h *hall) count() int {
	h.mu.Lock()
	defer h.mu.Unlock()
	return len(h.wires)
}

func plainStyle() style.Styles {
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(termenv.Ascii)
	return style.On(r, style.AnyGround)
}

func (w *wire) count() int {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.puts
}
