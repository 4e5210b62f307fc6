package tui

import (
	"context"
	"runtime/debug"
	"slices"
	"sync"
	"time"

	"example.org/ringout/internal/latest"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// A Watcher sends and can make a listener; link.Sender is one.
type Watcher interface {
	Watch(context.Context) (*link.Listener, error)
	Ours() protocol.Ours
	Events() []link.Event
}

// WithTraffic is a show with the traffic of its universes. When listening fails, such as
// when another program has the port, the news have the reason, sending continues, and
// listening is tried again every few seconds.
func WithTraffic(sh Show, w Watcher) Show { return watch(sh, w, listenAgain) }

// watch is WithTraffic with the time until listening is tried again.
func watch(sh Show, w Watcher, again time.Duration) Show {
	ctx, cancel := context.WithCancel(context.Background())
	s := &trafficShow{Show: sh, from: w, again: again, news: latest.New[traffic.News](), cancel: cancel, done: make(chan struct{})}
	go func() {
		defer close(s.done)
		defer close(s.news)
		defer func() { // a panic of the listener must not end the sending
			if v := recover(); v != nil {
				s.news.Put(traffic.News{Ours: s.from.Ours(), Trouble: &Crash{v, debug.Stack()}})
			}
		}()
		s.run(ctx)
	}()
	return s
}

// A trafficShow is a show with a listener beside it.
type trafficShow struct {
	Show
	from   Watcher
	again  time.Duration
	news   latest.Value[traffic.News]
	cancel context.CancelFunc
	done   chan struct{}

	mu       sync.Mutex
	listener *link.Listener // nil while none listens
	more     []protocol.Universe
}

// Want sets the universes to listen to, besides those sent to.
func (s *trafficShow) Want(more ...protocol.Universe) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.more = slices.Clone(more)
	s.tune(s.listener)
}

// tune sets the universes that a listener joins. The caller holds mu.
func (s *trafficShow) tune(l *link.Listener) {
	if s.listener = l; l != nil {
		l.Want(s.wanted()...)
	}
}

// wanted are the universes to listen to. The caller holds mu.
func (s *trafficShow) wanted() []protocol.Universe {
	return slices.Concat(s.from.Ours().Universes, s.more)
}

func (s *trafficShow) listened() []protocol.Universe {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.wanted()
}

func (s *trafficShow) listen(l *link.Listener) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.tune(l)
}

// Traffic is the reports of the listener.
func (s *trafficShow) Traffic() <-chan traffic.News { return s.news }

// Close ends the show first, so that the prop is dark at once, then the listener.
func (s *trafficShow) Close() error {
	s.cancel()
	err := s.Show.Close()
	<-s.done
	return err
}

// How often listening is tried again, and news go up meanwhile.
const (
	listenAgain = 5 * time.Second
	deafNews    = time.Second
)

func (s *trafficShow) run(ctx context.Context) {
	for ctx.Err() == nil {
		l, err := s.from.Watch(ctx)
		if err != nil {
			s.notListening(ctx, err)
			continue
		}
		s.hear(l)
	}
}

// hear passes on reports until the listener ends.
func (s *trafficShow) hear(l *link.Listener) {
	s.listen(l)
	defer s.listen(nil)
	for r := range l.Reports() {
		n := traffic.Heard(r, s.from.Ours()).Within(s.listened()).WithEvents(s.from.Events(), l.Events())
		n.Dropped = l.Dropped()
		s.news.Put(n)
	}
}

// notListening reports why nothing listens, and waits until the next try.
func (s *trafficShow) notListening(ctx context.Context, why error) {
	for end := time.Now().Add(s.again); time.Now().Before(end); {
		s.news.Put(traffic.News{Ours: s.from.Ours(), Trouble: why}.WithEvents(s.from.Events()))
		select {
		case <-ctx.Done():
			return
		case <-time.After(min(s.again, deafNews)):
		}
	}
}
