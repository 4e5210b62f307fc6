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

// stage holds the one show that runs, and carries what it did to the screens.
// Use and Close are called from commands, each in a goroutine of its own.
type stage struct {
	ctx     context.Context // of everything here; ended by Close
	end     context.CancelFunc
	connect func(context.Context, *prop.Prop) (Show, error)
	send    func(tea.Msg)

	mu    sync.Mutex // held while a show is being opened or closed, never while sending
	now   Show
	stop  context.CancelFunc // of the relays of now
	relay sync.WaitGroup

	listen func(context.Context) (*link.Listener, error) // before a prop is connected; nil can't
	alone  *link.Listener                                // that listens so; nil while none does
}

// Hear listens to all that is announced while no prop is connected, and answers
// with the reason when nothing can listen. What is heard comes as TrafficMsg.
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

// Use closes what runs and connects p. The lock is not held while anything is
// sent to the screens: a terminal that takes no more text holds that up, and
// must not keep Close from going dark.
func (s *stage) Use(p *prop.Prop) tea.Msg {
	sh, err := s.change(p)
	if err != nil {
		return screen.TroubleMsg{Err: err}
	}
	if sh == nil {
		return nil // left meanwhile
	}
	listener, _ := sh.(screen.Listener) // nil when nothing listens
	// The news of the prop goes first, then what its show does.
	s.send(screen.ReadyMsg{Prop: p, Out: sh, Demo: sh.Looks() != nil, Listener: listener})
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.now != sh {
		return nil
	}
	ctx, stop := context.WithCancel(s.ctx)
	s.stop = stop
	simulated, rest := sh.Looks() != nil, time.Duration(0)
	if simulated { // its light comes right after a snapshot, and both are drawn then
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

// change takes the show of p in place of the one that runs. It gives none
// after Close.
func (s *stage) change(p *prop.Prop) (Show, error) {
	s.mu.Lock()
	s.drop()
	s.mu.Unlock()
	s.relay.Wait() // the last words of the old show come before the new one's
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

// lookEvery is how often at most looks reach the screens. A show keeps to the
// same rate by itself.
const lookEvery = time.Second / 30

// figuresEvery is the same for the snapshots beside the looks: no one reads a
// count of steps any faster.
const figuresEvery = time.Second / 10

// relay carries values until ctx ends or the channel is closed, with a rest
// between two of them. The channels keep only the newest value. A nil channel
// carries nothing.
func relay[T any](ctx context.Context, wg *sync.WaitGroup, rest time.Duration, from <-chan T, to func(T)) {
	if from == nil {
		return
	}
	wg.Go(func() {
		var last time.Time
		for v := range arriving(ctx, from) {
			if wait := rest - time.Since(last); wait > 0 { // no timer where values come slowly
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

// arriving gives what comes from a channel until it is closed or ctx ends.
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

// newest is what waits in a channel, or else v.
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

// drop goes dark and forgets the show. The caller holds mu. It does not wait
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

// Close goes dark for good. It may be called more than once, and meanwhile.
func (s *stage) Close() {
	s.end()
	s.mu.Lock()
	defer s.mu.Unlock()
	s.drop()
}
