package link

import (
	"context"
	"fmt"
	"net"
	"net/netip"
	"strings"
	"syscall"

	"golang.org/x/net/ipv4"
)

// A sendSocket is a socket ready to send to one host, or to multicast groups.
type sendSocket struct {
	wire   *wire
	local  netip.Addr
	remote netip.AddrPort // zero for multicast
}

func (o *sendSocket) close() {
	if o != nil {
		o.wire.close()
	}
}

// dial connects a socket to a host, through an interface if one is given.
func dial(ctx context.Context, remote netip.AddrPort, ifi Interface) (*sendSocket, error) {
	v6 := remote.Addr().Is6()
	d := net.Dialer{Control: func(_, _ string, raw syscall.RawConn) error {
		hearAnswers(raw, v6)
		if ifi.Name != "" {
			bindTo(raw, ifi.Name)
		}
		return nil
	}}
	if ifi.Name != "" {
		a, err := ifi.addr(v6)
		if err != nil {
			return nil, err
		}
		d.LocalAddr = net.UDPAddrFromAddrPort(netip.AddrPortFrom(a, 0))
	}
	conn, err := d.DialContext(ctx, "udp", remote.String())
	if err != nil {
		return nil, err
	}
	udp := conn.(*net.UDPConn)
	local := localOf(udp)
	if !local.IsValid() || local.IsUnspecified() { // the interface of the route has no address
		udp.Close()
		return nil, &net.OpError{Op: "dial", Net: "udp", Err: syscall.EADDRNOTAVAIL}
	}
	w, err := newWire(udp, true)
	if err != nil {
		return nil, err
	}
	return &sendSocket{w, local, remote}, nil
}

// openMulticast opens a socket that sends IPv4 multicast from one address of an
// interface, or where the system's routes point when ifi has no name. It is
// bound to the address: otherwise the system would send from 0.0.0.0 once the
// interface has lost it.
func openMulticast(ctx context.Context, ifi Interface, local netip.Addr, ttl int) (*sendSocket, error) {
	pc, err := new(net.ListenConfig).ListenPacket(ctx, "udp4", netip.AddrPortFrom(local, 0).String())
	if err != nil {
		return nil, err
	}
	udp := pc.(*net.UDPConn)
	if err := setMulticast(udp, ifi, ttl); err != nil {
		udp.Close()
		return nil, err
	}
	w, err := newWire(udp, false)
	if err != nil {
		return nil, err
	}
	return &sendSocket{wire: w, local: local}, nil
}

func setMulticast(udp *net.UDPConn, ifi Interface, ttl int) error {
	p := ipv4.NewPacketConn(udp)
	if ifi.Name != "" {
		if err := p.SetMulticastInterface(&net.Interface{Index: ifi.Index, Name: ifi.Name}); err != nil {
			return err
		}
	}
	if err := p.SetMulticastTTL(ttl); err != nil {
		return err
	}
	return p.SetMulticastLoopback(true) // receivers on this machine hear it too
}

// addr is the interface's first address of a family, for IPv6 a global one if
// there is one.
func (i Interface) addr(v6 bool) (netip.Addr, error) {
	var found netip.Addr
	for _, p := range i.Addrs {
		a := p.Addr()
		if a.Is4() == v6 || (found.IsValid() && !found.IsLinkLocalUnicast()) {
			continue
		}
		found = a
	}
	if !found.IsValid() {
		family := "IPv4"
		if v6 {
			family = "IPv6"
		}
		return found, &interfaceStateError{i.Name, "has no " + family + " address"}
	}
	if found.IsLinkLocalUnicast() && v6 {
		found = found.WithZone(i.Name)
	}
	return found, nil
}

func localOf(udp *net.UDPConn) netip.Addr {
	if a, ok := udp.LocalAddr().(*net.UDPAddr); ok {
		return a.AddrPort().Addr().Unmap()
	}
	return netip.Addr{}
}

// An interfaceStateError reports what is wrong with an interface that exists.
type interfaceStateError struct{ name, trouble string }

func (e *interfaceStateError) Error() string {
	return fmt.Sprintf("interface %s %s", strings.TrimSpace(e.name), e.trouble)
}
