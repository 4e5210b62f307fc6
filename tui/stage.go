package tui

import (
	"context"
	"iter"
	"sync"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

// stage holds the running show and carries its reports to the screens. Use and Close are
// called from commands, each in its own goroutine.
type stage struct {
	ctx     context.Context // of all goroutines here; ended by Close
	end     context.CancelFunc
	connect func(context.Context, *prop.Prop) (Show, error)
	send    func(tea.Msg)

	mu    sync.Mutex // held while a show is being opened or closed, never while sending
	now   Show
	stop  context.CancelFunc // of the relays of now
	relay sync.WaitGroup

	listen func(context.Context) (*link.Listener, error) // before a prop is connected; nil can't
	alone  *link.Listener                                // the listener of listen; nil for none
}

// Hear listens to all announced universes while no prop is connected. It returns the
// reason when nothing can listen; packets are reported as TrafficMsg.
func (s *stage) Hear() tea.Msg {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.listen == nil || s.now != nil || s.alone != nil || s.ctx.Err() != nil {
		return nil
	}
	l, err := s.listen(s.ctx)
	if err != nil {
		return screen.TrafficMsg(traffic.News{Trouble: err})
	}
	s.alone = l
	relay(s.ctx, &s.relay, 0, l.Reports(), func(r *protocol.Report) {
		n := traffic.Heard(r, protocol.Ours{}).WithEvents(l.Events())
		n.Dropped = l.Dropped()
		s.send(screen.TrafficMsg(n))
	})
	return nil
}

func newStage(ctx context.Context, connect func(context.Context, *prop.Prop) (Show, error)) *stage {
	ctx, end := context.WithCancel(ctx)
	return &stage{ctx: ctx, end: end, connect: connect}
}

// Use closes the running show and connects p. It does not hold the lock while it sends to
// the screens: a terminal that takes no text blocks that, and must not keep Close from
// making the prop dark.
func (s *stage) Use(p *prop.Prop) tea.Msg {
	sh, err := s.change(p)
	if err != nil {
		return screen.TroubleMsg{Err: err}
	}
	if sh == nil {
		return nil // the program ended meanwhile
	}
	listener, _ := sh.(screen.Listener) // nil when nothing listens
	// The message about the prop comes before the reports of its show.
	s.send(screen.ReadyMsg{Prop: p, Out: sh, Demo: sh.Looks() != nil, Listener: listener})
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.now != sh {
		return nil
	}
	ctx, stop := context.WithCancel(s.ctx)
	s.stop = stop
	simulated, rest := sh.Looks() != nil, time.Duration(0)
	if simulated { // the light follows a snapshot at once, and both are drawn then
		rest = figuresEvery
	}
	relay(ctx, &s.relay, rest, sh.Snapshots(), func(v show.Snapshot) {
		v.Still = v.Still || simulated
		s.send(screen.SnapshotMsg(v))
	})
	relay(ctx, &s.relay, 0, sh.Traffic(), func(n traffic.News) { s.send(screen.TrafficMsg(n)) })
	relay(ctx, &s.relay, lookEvery, sh.Looks(), func(l strip.Look) { s.send(screen.LightMsg(l)) })
	return nil
}

// change replaces the running show by that of p. It returns nil after Close.
func (s *stage) change(p *prop.Prop) (Show, error) {
	s.mu.Lock()
	s.drop()
	s.mu.Unlock()
	s.relay.Wait() // reports of the old show come before those of the new one
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.ctx.Err() != nil {
		return nil, nil
	}
	sh, err := s.connect(s.ctx, p)
	if err != nil {
		return nil, err
	}
	s.now, s.stop = sh, func() {}
	return sh, nil
}

// lookEvery is the least time between two looks sent to the screens. A show keeps to the
// same rate.
const lookEvery = time.Second / 30

// figuresEvery is the same for snapshots of a simulated prop: no one reads a count of
// steps faster.
const figuresEvery = time.Second / 10

// relay sends values from a channel to to until ctx ends or the channel is closed, with
// at least rest between two of them. The channels keep only the newest value; a nil
// channel has none.
func relay[T any](ctx context.Context, wg *sync.WaitGroup, rest time.Duration, from <-chan T, to func(T)) {
	if from == nil {
		return
	}
	wg.Go(func() {
		var last time.Time
		for v := range arriving(ctx, from) {
			if wait := rest - time.Since(last); wait > 0 { // no timer when values come slowly
				select {
				case <-ctx.Done():
					return
				case <-time.After(wait):
				}
				v = newest(from, v)
			}
			last = time.Now()
			to(v)
		}
	})
}

// arriving yields the values of a channel until it is closed or ctx ends.
func arriving[T any](ctx context.Context, from <-chan T) iter.Seq[T] {
	return func(yield func(T) bool) {
		for {
			select {
			case <-ctx.Done():
				return
			case v, ok := <-from:
				if !ok || !yield(v) {
					return
				}
			}
		}
	}
}

// newest is the value that waits in a channel, or else v.
func newest[T any](from <-chan T, v T) T {
	select {
	case n, ok := <-from:
		if ok {
			return n
		}
	default:
	}
	return v
}

// drop closes the show, so that the prop is dark. The caller holds mu. It does not wait
// for the relays.
func (s *stage) drop() {
	if s.alone != nil {
		s.alone.Close()
		s.alone = nil
	}
	if s.now == nil {
		return
	}
	s.stop()
	s.now.Close()
	s.now = nil
}

// Close makes the prop dark and ends the stage. It may be called more than once, also at
// the same time.
func (s *stage) Close() {
	s.end()
	s.mu.Lock()
	defer s.mu.Unlock()
	s.drop()
}
