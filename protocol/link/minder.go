package link

import (
	"context"
	"fmt"
	"math"
	"net"
	"net/netip"
	"slices"
	"sync"
	"time"

	"example.org/ringout/protocol"
)

// mindEvery is how often rates are taken and the clocks compared.
const mindEvery = 500 * time.Millisecond

// mind does what is not sending: rates, the universe discovery packets, and a
// look at the two clocks, which part when the machine has slept.
func (s *Sender) mind(ctx context.Context) {
	tick := time.NewTicker(mindEvery)
	defer tick.Stop()
	a := announcer{Sender: s}
	counts := make([]uint64, len(s.streams))
	last := time.Now()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		now := time.Now()
		if gap := clockGap(last, now); gap > 2*time.Second {
			s.awoke(gap)
		}
		s.takeRates(counts, now.Sub(last))
		last = now
		if !s.cfg.Unannounced {
			a.announce(ctx, now)
		}
	}
}

// clockGap is how much further the wall clock went than the one that stops
// while the machine sleeps.
func clockGap(from, to time.Time) time.Duration {
	return to.Round(0).Sub(from.Round(0)) - to.Sub(from)
}

// awoke has every socket opened anew after a sleep of the machine.
func (s *Sender) awoke(gap time.Duration) {
	s.event("the clock went on by %v while nothing ran, as after a sleep of the machine: sending starts anew", gap.Round(time.Second))
	for _, h := range s.hosts {
		h.stale.Store(true)
		select {
		case h.wake <- struct{}{}:
		default:
		}
	}
}

// takeRates keeps the packets per second of the last second or so.
func (s *Sender) takeRates(counts []uint64, passed time.Duration) {
	for i, st := range s.streams {
		n := st.packets.Load()
		now := float64(n-counts[i]) / passed.Seconds()
		was := math.Float64frombits(st.rate.Load())
		if was != 0 && now != 0 {
			now = (was + now) / 2
		}
		st.rate.Store(math.Float64bits(now))
		counts[i] = n
	}
}

// faces is a list of this machine's interfaces, asked for once a second.
type faces struct {
	mu   sync.Mutex
	at   time.Time
	list []Interface
}

func (s *Sender) interfaces() []Interface {
	s.faces.mu.Lock()
	defer s.faces.mu.Unlock()
	if time.Since(s.faces.at) > mindEvery {
		if list, err := Interfaces(); err == nil {
			s.faces.list, s.faces.at = list, time.Now()
		}
	}
	return s.faces.list
}

// multicastRoute is the interface that the system's routes choose for groups.
func (s *Sender) multicastRoute(ctx context.Context) Interface {
	to := netip.AddrPortFrom(protocol.Universe(1).Group(), DefaultPort)
	o, err := dial(ctx, to, Interface{})
	if err != nil {
		return Interface{}
	}
	defer o.close()
	ifi, _ := interfaceOf(s.interfaces(), o.local)
	return ifi
}

// An announcer sends universe discovery packets every 10 s (clause 4.3).
//
// They go by multicast, as the standard has it, on each interface that data
// leaves by: for unicast the one that reaches the host. So a sender whose
// hosts are all on this machine announces itself on the loopback interface
// and nowhere else.
type announcer struct {
	*Sender
	last  time.Time
	list  []protocol.Universe
	extra bool // a set has gone out early since the last one in time
}

func (a *announcer) announce(ctx context.Context, now time.Time) {
	list, via := a.universes(), a.ways()
	if len(list) == 0 || len(via) == 0 {
		return
	}
	// One extra set is allowed within an interval when the list changes (12.1).
	// The ticks that this runs on are not exact, but they do not drift.
	early := !a.last.IsZero() && now.Sub(a.last) < protocol.DiscoveryInterval-mindEvery/4
	if early && (a.extra || slices.Equal(list, a.list)) {
		return
	}
	if !early {
		a.last = now
	}
	a.list, a.extra = list, early
	pages := a.pages(list)
	for _, ifi := range via {
		a.send(ctx, ifi, pages) // a way that is down is told by the data's own state
	}
}

// universes lists what is being sent, and the synchronization address (4.3).
func (a *announcer) universes() []protocol.Universe {
	var list []protocol.Universe
	for _, st := range a.streams {
		if st.packets.Load() > 0 {
			list = append(list, st.target.Universe)
		}
	}
	if len(list) > 0 && a.cfg.Sync != 0 {
		list = append(list, a.cfg.Sync)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// ways are the interfaces that data leaves by.
func (s *Sender) ways() []Interface {
	var list []Interface
	for _, h := range s.hosts {
		h.mu.Lock()
		via := h.via
		h.mu.Unlock()
		known := slices.ContainsFunc(list, func(i Interface) bool { return i.Index == via.Index })
		if via.Name != "" && !known {
			list = append(list, via)
		}
	}
	return list
}

func (a *announcer) pages(list []protocol.Universe) [][]byte {
	var pages [][]byte
	last := protocol.Pages(len(list)) - 1
	for i := range last + 1 {
		d := protocol.Discovery{CID: a.cfg.CID, Source: a.name, Page: uint8(i), Last: uint8(last)}
		d.SetList(list[i*protocol.PageSize:])
		pages = append(pages, protocol.AppendDiscovery(nil, &d))
	}
	return pages
}

func (a *announcer) send(ctx context.Context, ifi Interface, pages [][]byte) {
	o, err := openMulticast(ctx, ifi, a.cfg.TTL)
	if err != nil {
		return
	}
	defer o.close()
	to := net.UDPAddrFromAddrPort(netip.AddrPortFrom(protocol.DiscoveryGroup.Group(), a.cfg.DiscoveryPort))
	for _, p := range pages {
		o.wire.udp.WriteToUDP(p, to)
	}
}

// String names a target: universe 3 to 10.0.0.5.
func (t Target) String() string {
	if t.Host == "" {
		return fmt.Sprintf("universe %d by %s", t.Universe, t.place())
	}
	return fmt.Sprintf("universe %d to %s", t.Universe, t.place())
}
