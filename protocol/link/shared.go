package link

import (
	"errors"
	"net/netip"
	"slices"
	"time"

	"example.org/ringout/protocol"
	"example.org/ringout/protocol/port"
)

// How the listener shares unicast with other programs of ours on this machine:
// each offers copies of what it receives to the others (package port).

// openUnicast opens a socket for an address, or subscribes to the program of
// ours that has it. On Linux the newest of several sockets on all addresses
// receives everything, so an offer is looked for first there.
func (g *groups) openUnicast(at netip.AddrPort) error {
	if at.Addr().IsUnspecified() && g.subscribe(at) {
		return nil
	}
	s, err := g.openSocket(at, netip.Addr{})
	var taken *PortError
	if errors.As(err, &taken) && g.subscribe(at) {
		return nil
	}
	if err != nil {
		return err
	}
	s.keep, s.at = true, at
	if bindsToGroups || !at.Addr().IsUnspecified() { // otherwise multicast would be among the copies
		s.hub.Store(port.Open(at))
	}
	return nil
}

// subscribe looks for an offer of copies for an address, and subscribes to it.
func (g *groups) subscribe(at netip.AddrPort) bool {
	for _, o := range port.Offers(at.Port()) {
		own := slices.ContainsFunc(g.sockets, func(s *socket) bool { return s.has(o) })
		if !own && covers(o.At.Addr(), at.Addr()) && g.follow(o) {
			return true
		}
	}
	return false
}

// covers reports whether a socket bound to one address receives packets for
// another.
func covers(bound, to netip.Addr) bool {
	return bound == to || bound.IsUnspecified() && bound.Is4() == to.Is4()
}

// follow reads the copies of an offer; it returns false when the offer is no
// longer valid.
func (g *groups) follow(o port.Offer) bool {
	if time.Since(g.silent[o.Token]) < joinAgainAfter {
		return false
	}
	c, err := port.Subscribe(o)
	if err != nil {
		g.silent[o.Token] = time.Now()
		return false
	}
	c.UDP.SetReadBuffer(readBuffer)
	s := &socket{udp: c.UDP, copies: c, keep: true}
	r := newReader(s, readBatch)
	g.sockets = append(g.sockets, s)
	g.readers.Go(func() { r.run(g.Listener) })
	return true
}

// share follows new offers, and takes over an address when the program that had
// it has gone. The caller holds mu.
func (g *groups) share() {
	g.sockets = slices.DeleteFunc(g.sockets, func(s *socket) bool {
		over := s.copies != nil && s.copies.Ended()
		if over {
			s.copies.Close()
		}
		return over
	})
	for _, at := range g.unicast {
		if !slices.ContainsFunc(g.sockets, func(s *socket) bool { return s.takes(at) }) {
			g.openUnicast(at) // if it fails, the next try is half a second later
		}
	}
	for _, o := range port.Offers(g.cfg.Port) {
		if g.cfg.Bind.IsValid() && !covers(o.At.Addr(), g.cfg.Bind) {
			continue
		}
		if !slices.ContainsFunc(g.sockets, func(s *socket) bool { return s.has(o) }) {
			g.follow(o)
		}
	}
}

// takes reports whether a socket receives packets for an address.
func (s *socket) takes(at netip.AddrPort) bool {
	return s.at == at || s.copies != nil && covers(s.copies.Offer.At.Addr(), at.Addr())
}

// has reports whether an offer is this socket's own, or one that it follows.
func (s *socket) has(o port.Offer) bool {
	return s.hub.Load().IsOwn(o) || s.copies != nil && s.copies.Offer.Token == o.Token
}

// close closes a socket, and then withdraws its offer: the port must be free
// first.
func (s *socket) close() {
	if s.copies != nil {
		s.copies.Close()
		return
	}
	s.udp.Close()
	s.hub.Load().Close()
}

// original turns a copy back into the original datagram; it returns false for
// any other message of the offering program.
func (s *socket) original(h *protocol.Datagram) bool {
	if s.copies == nil {
		return true
	}
	from, octets, ok := s.copies.Unwrap(h.Octets)
	h.From, h.Octets, h.Copied, h.Interface, h.Group = from, octets, true, "", netip.Addr{}
	return ok
}

// pass sends copies of unicast datagrams to the subscribers.
func (s *socket) pass(heard []protocol.Datagram) {
	hub := s.hub.Load()
	if hub == nil {
		return
	}
	for i := range heard {
		if !heard[i].Group.IsValid() {
			hub.Pass(heard[i].From, heard[i].Octets)
		}
	}
}
