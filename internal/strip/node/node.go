// Package node is a simulated prop on the network: a UDP receiver of the standard (ANSI
// E1.31-2018) whose slots drive a strip.Strip. It is the other end of the wire, so it
// shares no code with the sender and the listener of package link. One goroutine reads
// packets and computes the light; other goroutines read the results under a lock.
package node

import (
	"cmp"
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

	"example.org/ringout/internal/latest"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/port"
)

// Options say where a node listens and which faults it has. The zero value is a prop
// without faults that listens for unicast at the address that usualAddr gives.
type Options struct {
	Addr      string        // "host:port"; port 0 takes any free one; empty for where the prop is sent
	Interface string        // joins the multicast groups of the prop's universes here, and only here
	Faults    []strip.Fault // of the simulated prop, which the sender does not know
	Dark      bool          // go dark when the last source ends or falls silent, instead of holding the last look
}

// Intervals of a node, and the size of its receive buffer.
const (
	tick      = 250 * time.Millisecond // between checks for lost sources
	looseTick = 33 * time.Millisecond  // between looks with a loose joint, which flickers
	together  = 300 * time.Microsecond // packets of one frame follow each other closer than this
	readRoom  = 1 << 21                // octets of datagrams that the system keeps until they are read
)

// A Node is a simulated prop on the network: a receiver of the standard whose
// controller drives a Strip. When its last source ends or falls silent it
// holds its last look, as most pixel controllers do (common practice), unless
// Options.Dark.
//
// All of its methods may be called from any goroutine.
type Node struct {
	prop    *prop.Prop
	next    atomic.Pointer[strip.Strip] // set by Become, taken by the loop; nil when there is none
	options Options
	in      *inlet
	at      netip.AddrPort // where it listens
	groups  membership
	follow  []protocol.Universe
	updates latest.Value[strip.Look]
	started time.Time
	stop    context.CancelFunc
	done    chan struct{}

	// Only the loop touches these.
	strip  *strip.Strip
	rx     *protocol.Receiver
	packet protocol.Decoder
	slots  [][]byte

	mu      sync.Mutex
	look    strip.Look
	history History
}

// Start listens until ctx ends or Close is called. The error is one sentence: the
// address is taken or not of this machine, the interface is unknown, or strip.New
// refuses the faults.
func Start(ctx context.Context, p *prop.Prop, o Options) (*Node, error) {
	s, err := stripBehind(p, o.Faults)
	if err != nil {
		return nil, err
	}
	n := &Node{prop: p, strip: s, options: o, updates: latest.New[strip.Look](), done: make(chan struct{}),
		started: time.Now(), follow: s.Universes()}
	n.rx = protocol.NewReceiver(n.follow...)
	n.slots = make([][]byte, len(n.follow))
	for i := range n.slots {
		n.slots[i] = make([]byte, prop.SlotsPerUniverse)
	}
	n.history = newHistory(n.follow)
	if err := n.open(ctx); err != nil {
		return nil, err
	}
	n.light(n.started)
	ctx, n.stop = context.WithCancel(ctx)
	go n.run(ctx)
	return n, nil
}

// stripBehind makes the strip that the node drives. A controller set to a wrong
// universe listens on that universe, so this fault moves the address.
func stripBehind(p *prop.Prop, faults []strip.Fault) (*strip.Strip, error) {
	if _, err := strip.New(p, faults...); err != nil {
		return nil, err
	}
	moved, rest := *p, []strip.Fault(nil)
	for _, f := range faults {
		if by := f.Universes(); by != 0 {
			moved.Address.Universe = uint16(int(p.Address.Universe) + by)
			continue
		}
		rest = append(rest, f)
	}
	return strip.New(&moved, rest...)
}

// Prop is the prop as planned, without the faults.
func (n *Node) Prop() *prop.Prop { return n.prop }

// Faults are the faults put in.
func (n *Node) Faults() []strip.Fault { return slices.Clone(n.options.Faults) }

// Addr is where the node listens.
func (n *Node) Addr() netip.AddrPort { return n.at }

// Port is the UDP port it listens on.
func (n *Node) Port() uint16 { return n.Addr().Port() }

// Look is the current light of the strip and the time of its last change. The light is
// never written again.
func (n *Node) Look() strip.Look {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.look
}

// Updates delivers the newest look only, to one receiver. It is closed when the node
// ends.
func (n *Node) Updates() <-chan strip.Look { return n.updates }

// Done is closed when the node has ended.
func (n *Node) Done() <-chan struct{} { return n.done }

// Close ends the node and returns when its socket is closed.
func (n *Node) Close() {
	n.stop()
	<-n.done
}

// open binds the socket and joins the groups.
func (n *Node) open(ctx context.Context) error {
	addr := cmp.Or(n.options.Addr, usualAddr(n.prop.Address, n.options.Interface != "").String())
	in, err := openInlet(ctx, addr, n.options.Interface != "")
	if err != nil {
		return err
	}
	n.in, n.at = in, in.at
	if n.options.Interface == "" {
		return nil
	}
	if err := n.groups.enter(in.conn, n.options.Interface, n.follow); err != nil {
		n.closeSockets()
		return err
	}
	return nil
}

// usualAddr is the address to listen on if Options.Addr is empty, with the port of the
// prop's address: the prop's host if that is a loopback address, else 127.0.0.1. For
// groups it is 0.0.0.0, since a socket bound to one address receives nothing that is
// sent to a group (ip(7)).
func usualAddr(of prop.Address, groups bool) netip.AddrPort {
	at := netip.AddrFrom4([4]byte{127, 0, 0, 1})
	if host, err := netip.ParseAddr(of.Host); err == nil && host.IsLoopback() {
		at = host
	}
	if groups {
		at = netip.IPv4Unspecified()
	}
	return netip.AddrPortFrom(at, cmp.Or(of.Port, protocol.Port))
}

// listenError says why the node cannot listen. 10048 and 10049 are WSAEADDRINUSE and
// WSAEADDRNOTAVAIL of Windows.
func listenError(addr string, err error) error {
	var no syscall.Errno
	errors.As(err, &no)
	switch {
	case no == syscall.EADDRINUSE || no == 10048:
		return fmt.Errorf("%s is taken by %s: stop that one or choose another port: %w", addr, holder(addr), err)
	case no == syscall.EADDRNOTAVAIL || no == 10049:
		return fmt.Errorf("%s is not an address of this machine: choose one that is, or 127.0.0.1: %w", addr, err)
	case no == syscall.EACCES:
		return fmt.Errorf("the system does not let us listen on %s: choose a port above 1023: %w", addr, err)
	}
	return fmt.Errorf("cannot listen on %q: write an address and a port, such as 127.0.0.1:5568: %w", addr, err)
}

// holder names the program that has an address, as far as it is known.
func holder(addr string) string {
	if a, err := net.ResolveUDPAddr("udp", addr); err == nil {
		if by := port.Holder(a.AddrPort().Port()); by != "" {
			return protocol.Printable(by)
		}
	}
	return "another program"
}

// closeSockets closes all sockets and leaves all groups.
func (n *Node) closeSockets() {
	n.groups.leave()
	n.in.close()
}
