package link

import (
	"context"
	"fmt"
	"net/netip"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"example.org/ringout/internal/latest"
	"example.org/ringout/protocol"
)

// ReportEvery is the time between two reports of a Listener.
const ReportEvery = 250 * time.Millisecond

// A ListenConfig chooses what to listen to.
type ListenConfig struct {
	Universes  []protocol.Universe // whose groups are joined
	Discover   bool                // also join the universes that discovery announces
	Interfaces []string            // where groups are joined; none means every interface that is up
	Unicast    bool                // also receive packets for this machine's own addresses, over IPv4 and IPv6
	Bind       netip.Addr          // receive only packets for this address: unicast alone, no groups
	Port       uint16              // 0 means 5568
	Every      time.Duration       // between reports; 0 means ReportEvery
}

// A Listener receives packets and turns them into reports. It always joins the
// group of universe discovery. Methods may be called from any goroutine.
//
// Unicast reaches one program only, so it is received only when asked for:
// otherwise the listener could take packets from another program. Unicast to
// another program of ours is always heard, by the copies that it offers
// (package port).
type Listener struct {
	cfg     ListenConfig
	reports latest.Value[*protocol.Report]
	log     events
	dropped atomic.Uint64
	groups  groups

	mu      sync.Mutex
	tracker *protocol.Tracker
	wanted  []protocol.Universe
	awake   time.Time // when this program last ran, to notice a gap

	cancel     context.CancelFunc
	readers    sync.WaitGroup
	done       chan struct{}
	interfaces func() []Interface // where groups are joined
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
		cfg:        cfg,
		reports:    latest.New[*protocol.Report](),
		tracker:    protocol.NewTracker(),
		wanted:     slices.Clone(cfg.Universes),
		done:       make(chan struct{}),
		interfaces: ways,
		awake:      time.Now(),
	}
	if ways == nil {
		l.interfaces = l.chosenInterfaces
	}
	l.groups = groups{Listener: l, joined: map[membership]joinPoint{}, refused: map[membership]time.Time{}, silent: map[string]time.Time{}}
	ctx, l.cancel = context.WithCancel(ctx)
	if err := l.open(); err != nil {
		l.cancel()
		l.groups.close()
		l.readers.Wait()
		return nil, err
	}
	l.groups.sync(l.universes())
	go l.survive(func() { l.run(ctx) })
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
		c.Port = protocol.Port
	}
	if c.Every <= 0 {
		c.Every = ReportEvery
	}
	return nil
}

// open binds the first sockets, so a taken port is reported at once.
func (l *Listener) open() error {
	g := &l.groups
	if l.cfg.Bind.IsValid() {
		g.unicast = []netip.AddrPort{netip.AddrPortFrom(l.cfg.Bind, l.cfg.Port)}
		return g.openUnicast(g.unicast[0])
	}
	if !l.cfg.Unicast {
		_, err := g.openGroup(protocol.DiscoveryGroup.Group())
		return err
	}
	every := netip.AddrPortFrom(netip.IPv4Unspecified(), l.cfg.Port)
	if err := g.openUnicast(every); err != nil {
		return err
	}
	g.unicast = append(g.unicast, every)
	every6 := netip.AddrPortFrom(netip.IPv6Unspecified(), l.cfg.Port)
	if err := g.openUnicast(every6); err != nil {
		l.event("nothing is heard over IPv6: %s", plain(err))
		return nil
	}
	g.unicast = append(g.unicast, every6)
	return nil
}

// run hands out reports and follows changes of interfaces and announcements.
func (l *Listener) run(ctx context.Context) {
	defer close(l.done)
	defer close(l.reports)
	tick := time.NewTicker(min(l.cfg.Every, ReportEvery))
	defer tick.Stop()
	var synced time.Time
	reported := time.Now()
	for {
		select {
		case <-ctx.Done():
			l.groups.close()
			l.readers.Wait()
			return
		case <-tick.C:
		}
		now := time.Now()
		l.tick(now)
		if now.Sub(reported) >= l.cfg.Every-ReportEvery/4 {
			l.reports.Put(l.Report())
			reported = now
		}
		if now.Sub(synced) >= maintainEvery {
			l.groups.sync(l.universes())
			synced = now
		}
	}
}

// tick applies the tracker's time-outs.
func (l *Listener) tick(now time.Time) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.wake(now)
	l.tracker.Tick(now)
}

// sleepAtLeast is the shortest gap between two ticks that counts as a sleep of
// the machine; without a sleep they come every ReportEvery.
const sleepAtLeast = 1500 * time.Millisecond

// wake notices that this program did not run for a while, as when the machine
// slept: packets missed meanwhile are not the sources' fault. Which clock
// continues during a sleep depends on the system, so both are compared. The
// caller holds mu.
func (l *Listener) wake(now time.Time) {
	gap := max(now.Sub(l.awake), now.Round(0).Sub(l.awake.Round(0)))
	if gap > sleepAtLeast {
		l.tracker.Missed(l.awake, now)
		l.event("this program did not run for %v, as when the machine sleeps: nothing was heard meanwhile", gap.Round(time.Second))
	}
	l.awake = now
}

// hear gives the datagrams of one read to the tracker.
func (l *Listener) hear(batch []protocol.Datagram) {
	l.mu.Lock()
	l.wake(time.Now())
	for i := range batch {
		l.tracker.Hear(batch[i])
	}
	l.mu.Unlock()
}

// lost counts datagrams that this machine dropped before they were read: their
// sequence numbers were not lost on the network.
func (l *Listener) lost(n uint32) {
	l.dropped.Add(uint64(n))
	now := time.Now()
	l.mu.Lock()
	l.tracker.Missed(now, now)
	l.mu.Unlock()
}

// joins and leaves tell the tracker which groups are heard from now on.
func (l *Listener) joins(u protocol.Universe) {
	l.mu.Lock()
	l.tracker.Joined(u, time.Now())
	l.mu.Unlock()
}

func (l *Listener) leaves(u protocol.Universe, iface string, elsewhere bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if elsewhere {
		l.tracker.LeftInterface(u, iface, time.Now())
	} else {
		l.tracker.Left(u, time.Now())
	}
}

// Reports delivers a report every ListenConfig.Every; the next replaces one
// that was not taken. It is closed when the listener ends.
func (l *Listener) Reports() <-chan *protocol.Report { return l.reports }

// Report returns the current report.
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

// universes are the ones whose groups should be joined: discovery, the wanted
// ones, and the synchronization addresses of the data heard, whose packets go
// to their own groups only (6.3.3). An announced universe stays while its data
// comes, even if its source no longer lists it.
func (l *Listener) universes() []protocol.Universe {
	if l.cfg.Bind.IsValid() {
		return nil
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	now := time.Now()
	list := append([]protocol.Universe{protocol.DiscoveryGroup}, l.wanted...)
	list = append(list, l.tracker.SyncAddresses(now)...)
	if l.cfg.Discover {
		list = append(list, l.tracker.Heard(now)...)
		list = append(list, l.tracker.Announced()...)
	}
	return unique(list)
}

// unique is a list without repeats, in the order of first mention.
func unique(list []protocol.Universe) []protocol.Universe {
	seen := make(map[protocol.Universe]bool, len(list))
	return slices.DeleteFunc(list, func(u protocol.Universe) bool {
		before := seen[u]
		seen[u] = true
		return before
	})
}

// Dropped is the number of datagrams that the system dropped because they were
// not read in time, where it reports that (Linux).
func (l *Listener) Dropped() uint64 { return l.dropped.Load() }

// Events is what happened to the network recently, oldest first.
func (l *Listener) Events() []Event { return l.log.all() }

func (l *Listener) event(format string, args ...any) {
	l.log.add(Event{At: time.Now(), Text: fmt.Sprintf(format, args...)})
}

// survive runs work and turns a panic into an event: the sender in the same
// program must keep the strip lit.
func (l *Listener) survive(work func()) {
	if err := caught(work); err != nil {
		l.event("a part of the listener ended: %v", err)
	}
}

// Close stops the listener and waits until it has ended.
func (l *Listener) Close() error {
	l.cancel()
	<-l.done
	return nil
}

// chosenInterfaces are those of the configuration that exist, or all that are
// up.
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
