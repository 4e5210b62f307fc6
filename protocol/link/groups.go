package link

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"slices"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	"golang.org/x/net/ipv4"

	"example.org/ringout/protocol"
	"example.org/ringout/protocol/port"
)

const (
	maxGroups      = 2048 // memberships in all, however many other sources announce
	maxUniverses   = 1024 // universes joined; the same reason
	readBuffer     = 4 << 20
	readBatch      = 64 // datagrams a call, where the system can read several
	joinAgainAfter = 5 * time.Second
)

// A PortError reports that another program has the port exclusively.
type PortError struct {
	Port   uint16
	Holder string // the program, as "lamp (process 4711)"; empty if the system does not name it
	Err    error
}

// Error is one sentence for the builder.
func (e *PortError) Error() string {
	return fmt.Sprintf("port %d is taken by %s on this machine: close that program, or listen on another port", e.Port, e.By())
}

// By names the program that has the port, if it is known.
func (e *PortError) By() string {
	if e.Holder == "" {
		return "another program"
	}
	return protocol.Printable(e.Holder)
}

// Unwrap gives the system's error.
func (e *PortError) Unwrap() error { return e.Err }

// A membership is one group joined on one interface.
type membership struct {
	universe protocol.Universe
	index    int // of the interface
}

// A socket is an open socket of the listener.
type socket struct {
	udp   *net.UDPConn
	p4    *ipv4.PacketConn
	group netip.Addr // that it is bound to; zero if it takes any
	keep  bool       // it takes unicast too
	joins int

	at     netip.AddrPort           // of unicast; zero for groups alone
	hub    atomic.Pointer[port.Hub] // offers copies of its unicast; nil if it does not
	copies *port.Copies             // what is read are copies of another program's; else nil
}

// A joinPoint is the socket and the interface of a membership.
type joinPoint struct {
	socket    *socket
	ifaceName string
}

// groups keeps the multicast memberships up to date. A socket can join a
// limited number of groups (20 on many Linux machines), so they are spread over
// several sockets.
type groups struct {
	*Listener
	mu      sync.Mutex
	sockets []*socket
	joined  map[membership]joinPoint
	refused map[membership]time.Time // joins that failed, and when
	unicast []netip.AddrPort         // addresses to take unicast on
	silent  map[string]time.Time     // offers that did not answer, by token
	closed  bool
	full    bool
}

// sync joins the missing groups and leaves those no longer wanted. It is called
// regularly: an interface that comes back must join its groups again.
func (g *groups) sync(universes []protocol.Universe) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.closed {
		return
	}
	g.share()
	if len(universes) == 0 {
		return
	}
	if len(universes) > maxUniverses {
		universes = universes[:maxUniverses]
		g.tooMany()
	}
	ways := g.interfaces()
	want := make(map[membership]Interface, len(universes)*len(ways))
	for _, i := range ways {
		for _, u := range universes {
			want[membership{u, i.Index}] = i
		}
	}
	for m := range g.joined {
		if _, ok := want[m]; !ok {
			g.leave(m)
		}
	}
	for _, i := range ways {
		for _, u := range universes {
			g.join(membership{u, i.Index}, i)
		}
	}
}

func (g *groups) join(m membership, ifi Interface) {
	if _, ok := g.joined[m]; ok || time.Since(g.refused[m]) < joinAgainAfter {
		return
	}
	if len(g.joined) >= maxGroups {
		g.tooMany()
		return
	}
	s, err := g.joinSomewhere(m, ifi)
	if err != nil {
		if _, reported := g.refused[m]; !reported {
			g.event("universe %d is not heard by multicast on %s: %s", m.universe, ifi.Name, plain(err))
		}
		g.refused[m] = time.Now()
		return
	}
	delete(g.refused, m)
	s.joins++
	g.joined[m] = joinPoint{s, ifi.Name}
	g.Listener.joins(m.universe)
}

func (g *groups) tooMany() {
	if !g.full {
		g.event("there are more universes than are listened to at once: choose the ones that matter")
	}
	g.full = true
}

// joinSomewhere joins on a socket that can take another group, or on a new one.
func (g *groups) joinSomewhere(m membership, ifi Interface) (*socket, error) {
	group := m.universe.Group()
	for _, s := range slices.Backward(g.sockets) {
		if s.p4 == nil || s.group.IsValid() && s.group != group {
			continue
		}
		err := s.join(group, ifi)
		if err == nil || !tooManyGroups(err) {
			return s, err
		}
		if s.joins == 0 {
			return s, err // the limit is the machine's, not the socket's
		}
	}
	s, err := g.openGroup(group)
	if err != nil {
		return nil, err
	}
	return s, s.join(group, ifi)
}

func (s *socket) join(group netip.Addr, ifi Interface) error {
	return s.p4.JoinGroup(&net.Interface{Index: ifi.Index, Name: ifi.Name}, &net.UDPAddr{IP: group.AsSlice()})
}

func (g *groups) leave(m membership) {
	at := g.joined[m]
	s, group := at.socket, m.universe.Group()
	s.p4.LeaveGroup(&net.Interface{Index: m.index}, &net.UDPAddr{IP: group.AsSlice()}) // fails when the interface has gone
	delete(g.joined, m)
	g.Listener.leaves(m.universe, at.ifaceName, g.joinedElsewhere(m.universe))
	if s.joins--; s.joins == 0 && !s.keep {
		s.udp.Close()
		g.sockets = slices.DeleteFunc(g.sockets, func(other *socket) bool { return other == s })
	}
}

// joinedElsewhere reports whether a universe's group is joined on any interface.
func (g *groups) joinedElsewhere(u protocol.Universe) bool {
	for m := range g.joined {
		if m.universe == u {
			return true
		}
	}
	return false
}

// openGroup opens a socket for multicast. A socket for multicast alone is bound
// to the group where the system allows it.
func (g *groups) openGroup(group netip.Addr) (*socket, error) {
	if bindsToGroups && !g.cfg.Unicast {
		return g.openSocket(netip.AddrPortFrom(group, g.cfg.Port), group)
	}
	return g.openSocket(netip.AddrPortFrom(netip.IPv4Unspecified(), g.cfg.Port), netip.Addr{})
}

func (g *groups) openSocket(at netip.AddrPort, group netip.Addr) (*socket, error) {
	udp, err := bind(at)
	if err != nil {
		return nil, err
	}
	udp.SetReadBuffer(readBuffer) // as much as the system allows
	s := &socket{udp: udp, group: group}
	if at.Addr().Is4() {
		s.p4 = ipv4.NewPacketConn(udp)
	}
	batch := readBatch
	if group.IsValid() {
		batch = readBatch / 8 // one universe's packets are few
	}
	r := newReader(s, batch)
	g.sockets = append(g.sockets, s)
	g.readers.Go(func() { g.survive(func() { r.run(g.Listener) }) })
	return s, nil
}

// bind opens a socket. A socket for groups or for every address shares its port
// with programs that share it too. A socket for one address of this machine
// does not share: only one of two would receive anything.
func bind(at netip.AddrPort) (*net.UDPConn, error) {
	share := at.Addr().IsUnspecified() || at.Addr().IsMulticast()
	lc := net.ListenConfig{Control: func(_, _ string, raw syscall.RawConn) error {
		var err error
		if e := raw.Control(func(fd uintptr) { err = sharePort(fd, at.Addr(), share) }); e != nil {
			return e
		}
		return err
	}}
	network := "udp4"
	if at.Addr().Is6() {
		network = "udp6"
	}
	open := func() (net.PacketConn, error) { return lc.ListenPacket(context.Background(), network, at.String()) }
	if at.Addr().IsMulticast() {
		open = func() (net.PacketConn, error) { return bindGroup(at) }
	}
	pc, err := open()
	if err != nil {
		if portTaken(err) {
			return nil, &PortError{at.Port(), port.Holder(at.Port()), err}
		}
		if notOurs(err) {
			return nil, &ConfigError{-1, "Bind", fmt.Sprintf("%s is not an address of this machine: give one of its own, such as 127.0.0.1", at.Addr())}
		}
		return nil, fmt.Errorf("port %d cannot be listened to: %w", at.Port(), errors.Unwrap(err))
	}
	return pc.(*net.UDPConn), nil
}

func (g *groups) close() {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.closed = true
	for _, s := range g.sockets {
		s.close()
	}
}
