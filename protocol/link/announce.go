package link

import (
	"context"
	"net"
	"net/netip"
	"slices"
	"time"

	"example.org/ringout/protocol"
)

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

// run announces every 10 s, and when the sender says that the list has changed.
func (a *announcer) run(ctx context.Context) {
	timer := time.NewTimer(protocol.DiscoveryInterval)
	defer timer.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-a.Sender.announce:
		case <-timer.C:
		}
		timer.Reset(a.announce(ctx, time.Now()))
	}
}

// announce sends what is due and returns how long it is until it may be again.
func (a *announcer) announce(ctx context.Context, now time.Time) time.Duration {
	list, via := a.universes(), a.usedInterfaces()
	switch {
	case len(list) == 0:
		return protocol.DiscoveryInterval // or when the sender says so
	case len(via) == 0:
		return maintainEvery // a dialer is about to find the way
	}
	// One extra set is allowed within an interval when the list changes (12.1).
	early := !a.last.IsZero() && now.Sub(a.last) < protocol.DiscoveryInterval
	switch {
	case early && (a.extra || slices.Equal(list, a.list)):
		return a.next(now)
	case !early:
		a.last = now
	}
	a.list, a.extra = list, early
	pages := a.pages(list)
	for _, ifi := range via {
		a.send(ctx, ifi, pages) // a way that is down shows in the state of the data
	}
	return a.next(now)
}

// next is how long it is until an interval has passed since the last set in time.
func (a *announcer) next(now time.Time) time.Duration {
	return a.last.Add(protocol.DiscoveryInterval).Sub(now)
}

// universes lists what is being sent, and the synchronization address (4.3).
func (a *announcer) universes() []protocol.Universe {
	var list []protocol.Universe
	if a.silent.Load() {
		return nil
	}
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

// usedInterfaces are the interfaces that data leaves by.
func (s *Sender) usedInterfaces() []Interface {
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
	local, err := ifi.addr(false)
	if err != nil {
		return
	}
	o, err := openMulticast(ctx, ifi, local, a.cfg.TTL)
	if err != nil {
		return
	}
	defer o.close()
	to := net.UDPAddrFromAddrPort(netip.AddrPortFrom(protocol.DiscoveryGroup.Group(), a.cfg.DiscoveryPort))
	for _, p := range pages {
		o.wire.add(p, to)
	}
	o.wire.write(0)
}
