package link

import (
	"context"
	"fmt"
	"net/netip"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"example.org/ringout/protocol"
)

// ReportEvery is how often a Listener hands out a report.
const ReportEvery = 250 * time.Millisecond

// A ListenConfig says what to listen to.
type ListenConfig struct {
	Universes  []protocol.Universe // whose groups are joined
	Discover   bool                // join also what universe discovery announces
	Interfaces []string            // where groups are joined; none means every interface that is up
	Unicast    bool                // also take what is sent to this machine's own addresses, over IPv4 and IPv6
	Bind       netip.Addr          // take only what is sent to this address: unicast alone, no groups
	Port       uint16              // 0 means 5568
	Every      time.Duration       // between reports; 0 means ReportEvery
}

// A Listener hears what goes over the network and folds it into reports. It
// joins the group of universe discovery in any case. Methods may be called
// from any goroutine.
//
// On Linux a second program that takes unicast on the same port takes it all,
// so Unicast is a choice: without it nobody else loses a packet.
type Listener struct {
	cfg     ListenConfig
	reports chan *protocol.Report // room for one, the newest wins
	log     events
	dropped atomic.Uint64
	groups  groups

	mu      sync.Mutex
	tracker *protocol.Tracker
	wanted  []protocol.Universe

	cancel  context.CancelFunc
	readers sync.WaitGroup
	done    chan struct{}
	ways    func() []Interface // where groups are joined
}

// Listen starts a listener that stops when ctx ends or by Close. The error is
// a *PortError when another program has the port, or a *ConfigError.
func Listen(ctx context.Context, cfg ListenConfig) (*Listener, error) {
	return listen(ctx, cfg, nil)
}

func listen(ctx context.Context, cfg ListenConfig, ways func() []Interface) (*Listener, error) {
	if err := cfg.check(); err != nil {
		return nil, err
	}
	l := &Listener{
		cfg:     cfg,
		reports: make(chan *protocol.Report, 1),
		tracker: protocol.NewTracker(),
		wanted:  slices.Clone(cfg.Universes),
		done:    make(chan struct{}),
		ways:    ways,
	}
	if ways == nil {
		l.ways = l.chosenInterfaces
	}
	l.groups = groups{Listener: l, joined: map[membership]*ear{}, refused: map[membership]time.Time{}}
	ctx, l.cancel = context.WithCancel(ctx)
	if err := l.open(); err != nil {
		l.cancel()
		l.groups.close()
		l.readers.Wait()
		return nil, err
	}
	l.groups.sync(l.universes())
	go l.run(ctx)
	return l, nil
}

func (c *ListenConfig) check() error {
	for _, u := range c.Universes {
		if !u.Valid() {
			return &ConfigError{-1, "Universes", fmt.Sprintf("universe %d cannot be listened to: choose 1 to 63999", u)}
		}
	}
	for _, name := range c.Interfaces {
		if _, err := interfaceByName(name); err != nil {
			return &ConfigError{-1, "Interfaces", err.Error()}
		}
	}
	if c.Port == 0 {
		c.Port = DefaultPort
	}
	if c.Every <= 0 {
		c.Every = ReportEvery
	}
	return nil
}

// open binds the first sockets, so that a port that is taken shows at once.
func (l *Listener) open() error {
	if l.cfg.Bind.IsValid() {
		return l.groups.openUnicast(netip.AddrPortFrom(l.cfg.Bind, l.cfg.Port))
	}
	if !l.cfg.Unicast {
		_, err := l.groups.openGroup(protocol.DiscoveryGroup.Group())
		return err
	}
	if err := l.groups.openUnicast(netip.AddrPortFrom(netip.IPv4Unspecified(), l.cfg.Port)); err != nil {
		return err
	}
	if err := l.groups.openUnicast(netip.AddrPortFrom(netip.IPv6Unspecified(), l.cfg.Port)); err != nil {
		l.event("nothing is heard over IPv6: %s", plain(err))
	}
	return nil
}

// run hands out reports and keeps up with interfaces and announcements.
func (l *Listener) run(ctx context.Context) {
	defer close(l.done)
	defer close(l.reports)
	tick := time.NewTicker(l.cfg.Every)
	defer tick.Stop()
	var synced time.Time
	for {
		select {
		case <-ctx.Done():
			l.groups.close()
			l.readers.Wait()
			return
		case <-tick.C:
		}
		l.put(l.Report())
		if time.Since(synced) >= mindEvery {
			l.groups.sync(l.universes())
			synced = time.Now()
		}
	}
}

func (l *Listener) put(r *protocol.Report) {
	select {
	case <-l.reports: // stale
	default:
	}
	l.reports <- r
}

// hear folds in what one read brought.
func (l *Listener) hear(batch []protocol.Heard) {
	l.mu.Lock()
	for i := range batch {
		l.tracker.Hear(batch[i])
	}
	l.mu.Unlock()
}

// Reports hands out a report every so often; one not taken in time is replaced
// by the next. It is closed when the listener ends.
func (l *Listener) Reports() <-chan *protocol.Report { return l.reports }

// Report is what is known now.
func (l *Listener) Report() *protocol.Report {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := time.Now()
	l.tracker.Tick(now)
	return l.tracker.Report(now)
}

// Want chooses the universes whose groups are joined, in place of
// ListenConfig.Universes; it takes effect within half a second.
func (l *Listener) Want(universes ...protocol.Universe) {
	l.mu.Lock()
	l.wanted = slices.Clone(universes)
	l.mu.Unlock()
}

// universes are the ones whose groups should be joined, discovery among them.
func (l *Listener) universes() []protocol.Universe {
	if l.cfg.Bind.IsValid() {
		return nil
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	list := append([]protocol.Universe{protocol.DiscoveryGroup}, l.wanted...)
	if l.cfg.Discover {
		list = append(list, l.tracker.Announced()...)
	}
	return list
}

// Dropped is how many datagrams the system threw away because they were not
// taken in time, as far as it tells (Linux).
func (l *Listener) Dropped() uint64 { return l.dropped.Load() }

// Events is what happened to the network of late, oldest first.
func (l *Listener) Events() []Event { return l.log.all() }

func (l *Listener) event(format string, args ...any) {
	l.log.add(Event{At: time.Now(), Text: fmt.Sprintf(format, args...)})
}

// Close stops the listener and waits until it has ended.
func (l *Listener) Close() error {
	l.cancel()
	<-l.done
	return nil
}

// chosenInterfaces are those of the configuration that are there, or all that
// are up.
func (l *Listener) chosenInterfaces() []Interface {
	all, err := Interfaces()
	if err != nil {
		return nil
	}
	return slices.DeleteFunc(all, func(i Interface) bool {
		if len(l.cfg.Interfaces) > 0 {
			return !slices.Contains(l.cfg.Interfaces, i.Name)
		}
		return !i.Up || !i.Multicast && !i.Loopback
	})
}
