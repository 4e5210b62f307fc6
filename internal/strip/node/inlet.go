package node

import (
	"context"
	"errors"
	"net"
	"net/netip"
	"runtime"
	"sync"
	"syscall"
	"time"

	"golang.org/x/net/ipv4"

	"example.org/ringout/protocol/port"
)

// An inlet receives the datagrams of a node. It has a socket of its own and offers
// copies of its unicast to other ringout programs (package port); or, where another
// program has the address already, it reads that program's copies.
type inlet struct {
	at     netip.AddrPort
	copies *port.Copies // nil with a socket of its own
	hub    *port.Hub    // offers copies; nil where none are offered
	held   net.Listener // see claim; nil when nothing is held
	groups bool         // groups are joined on it
	oob    []byte       // control data of a datagram (ipv4.FlagDst); nil unless groups are joined

	receiver receiver

	mu     sync.Mutex
	conn   *net.UDPConn // replaced when the program that sent copies has ended
	closed bool
}

// openInlet subscribes to the ringout program that has the address, or binds it.
func openInlet(ctx context.Context, addr string, groups bool) (*inlet, error) {
	in := &inlet{groups: groups}
	a, err := net.ResolveUDPAddr("udp4", addr)
	anyPort := err == nil && a.Port == 0
	if err == nil && !anyPort && !groups {
		if in.follow(netip.AddrPortFrom(a.AddrPort().Addr().Unmap(), uint16(a.Port))) {
			return in, nil
		}
	}
	if err := tryPorts(anyPort, func() error { return in.bind(ctx, addr) }); err != nil {
		return nil, listenError(addr, err)
	}
	return in, nil
}

// mostPorts is how many ports are tried where any will do.
const mostPorts = 20

// tryPorts calls bind. With anyPort it calls again while the port that the system picks
// turns out to be taken: the port is free for UDP, but claim needs the same number for
// TCP, where another program may use it.
func tryPorts(anyPort bool, bind func() error) (err error) {
	for range mostPorts {
		if err = bind(); !anyPort || !errors.Is(err, syscall.EADDRINUSE) {
			return err
		}
	}
	return err
}

// bind opens a socket of the inlet's own; see shareAddress.
func (in *inlet) bind(ctx context.Context, addr string) error {
	lc, network := net.ListenConfig{Control: shareAddress}, "udp"
	if in.groups {
		network = "udp4"
	}
	pc, err := lc.ListenPacket(ctx, network, addr)
	if err != nil {
		return err
	}
	conn := pc.(*net.UDPConn)
	if !in.groups && !in.claim(ctx, conn) {
		conn.Close()
		return syscall.EADDRINUSE
	}
	_ = conn.SetReadBuffer(readRoom) // a smaller one still works
	a := conn.LocalAddr().(*net.UDPAddr).AddrPort()
	in.at = netip.AddrPortFrom(a.Addr().Unmap(), a.Port())
	in.use(conn)
	if !in.groups {
		in.hub = port.Open(in.at)
	} else if ipv4.NewPacketConn(conn).SetControlMessage(ipv4.FlagDst, true) == nil { // not on every system
		in.oob = make([]byte, 128)
		in.hub = port.Open(in.at)
	}
	return nil
}

// claim reserves a unicast address, so that a second simulated prop that cannot read
// copies gets an error. The UDP port itself is shared, so that the bench and the
// simulated prop can start in either order; a packet to one address goes to the socket
// that is bound to it (udp(7)), which is ours. The reservation is a TCP listener on the
// same address: only one program can have it, and it accepts no connection.
func (in *inlet) claim(ctx context.Context, conn net.PacketConn) bool {
	if runtime.GOOS == "windows" { // the port is not shared there
		return true
	}
	var lc net.ListenConfig
	held, err := lc.Listen(ctx, "tcp", conn.LocalAddr().String())
	if err == nil {
		in.held = held
	}
	return !errors.Is(err, syscall.EADDRINUSE)
}

// follow subscribes to the ringout program that has the address, or to the one that has
// any address of the port. It is false if there is none.
func (in *inlet) follow(at netip.AddrPort) bool {
	for _, o := range port.Offers(at.Port()) {
		if o.At.Addr() != at.Addr() && o.At.Addr() != netip.IPv4Unspecified() {
			continue
		}
		c, err := port.Subscribe(o)
		if err != nil {
			continue
		}
		in.copies, in.at = c, at
		in.use(c.UDP)
		return true
	}
	return false
}

// use sets the socket to read from. After close it closes the socket at once.
func (in *inlet) use(conn *net.UDPConn) {
	in.mu.Lock()
	defer in.mu.Unlock()
	in.conn = conn
	if in.closed {
		conn.Close()
	}
}

// read takes one datagram, or fails by the deadline or when ctx ends.
func (in *inlet) read(ctx context.Context, buf []byte, until time.Time) ([]byte, error) {
	conn := in.current()
	conn.SetReadDeadline(until)
	if ctx.Err() != nil { // it may have ended just before the deadline was set
		return nil, ctx.Err()
	}
	n, oobn, from, err := in.receiver.receive(conn, buf, in.oob)
	switch {
	case err != nil && in.copies != nil:
		in.copies.Failed(err)
		return nil, err
	case err != nil:
		return nil, err
	case in.copies == nil:
		if !in.toGroup(in.oob[:oobn]) {
			in.hub.Pass(from, buf[:n])
		}
		return buf[:n], nil
	}
	_, octets, ok := in.copies.Unwrap(buf[:n])
	if !ok {
		return nil, errNoCopy
	}
	return octets, nil
}

// errNoCopy means that the datagram is a message between hub and subscriber, not a
// copy.
var errNoCopy = errors.New("not a datagram of the network")

// toGroup reports whether a datagram was sent to a group.
func (in *inlet) toGroup(oob []byte) bool {
	var cm ipv4.ControlMessage
	return len(oob) > 0 && cm.Parse(oob) == nil && cm.Dst.IsMulticast()
}

// retake binds the address, or subscribes to the program that has it now, once the
// program whose copies were read has ended. It reports whether it did either.
func (in *inlet) retake(ctx context.Context) bool {
	if in.copies == nil || !in.copies.Ended() {
		return false
	}
	old := in.copies
	in.copies = nil
	if err := in.bind(ctx, in.at.String()); err != nil && !in.follow(in.at) {
		in.copies = old // still ended, so the next failed read tries again
		return false
	}
	old.Close()
	return true
}

func (in *inlet) current() *net.UDPConn {
	in.mu.Lock()
	defer in.mu.Unlock()
	return in.conn
}

// interrupt ends a read that waits.
func (in *inlet) interrupt() { in.current().SetReadDeadline(time.Unix(1, 0)) }

// close closes the socket, then withdraws the offer: subscribers may then bind the
// port.
func (in *inlet) close() {
	in.mu.Lock()
	in.closed = true
	conn := in.conn
	in.mu.Unlock()
	conn.Close()
	if in.held != nil {
		in.held.Close()
	}
	if in.copies != nil {
		in.copies.Close()
	}
	in.hub.Close()
}
