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
// They are sent by multicast (4.3) on each interface that data leaves by: for
// unicast, the one that reaches the host. A sender whose hosts are all on this
// machine announces itself on the loopback interface only.
type announcer struct {
	*Sender
	last  time.Time
	list  []protocol.Universe
	extra bool // an extra set was sent since the last regular one
}

// run announces every 10 s, and when the sender signals that the list has
// changed.
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

// announce sends a set that is due and returns the time until the next may be
// sent.
func (a *announcer) announce(ctx context.Context, now time.Time) time.Duration {
	list, via := a.universes(), a.usedInterfaces()
	switch {
	case len(list) == 0:
		return protocol.DiscoveryInterval // or when the sender signals a change
	case len(via) == 0:
		return maintainEvery // a dialer is still looking for the interface
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
		a.send(ctx, ifi, pages) // an interface that is down shows in the state of the data
	}
	return a.next(now)
}

// next is the time left until one interval has passed since the last regular
// set.
func (a *announcer) next(now time.Time) time.Duration {
	return a.last.Add(protocol.DiscoveryInterval).Sub(now)
}

// universes lists the universes being sent and the synchronization address
// (4.3).
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
