//go:build !linux || portable

package link

import (
	"errors"
	"net"
	"net/netip"
	"time"

	"golang.org/x/net/ipv4"

	"example.org/ringout/protocol"
)

// A reader reads one socket until it is closed, a datagram a call.
type reader struct {
	*socket
	buf   [2048]byte
	oob   [128]byte
	names names
}

func newReader(s *socket, _ int) *reader {
	if s.p4 != nil {
		s.p4.SetControlMessage(ipv4.FlagDst|ipv4.FlagInterface, true) // not on every system
	}
	return &reader{socket: s}
}

func (r *reader) run(l *Listener) {
	var one [1]protocol.Datagram
	for {
		n, oobn, _, from, err := r.udp.ReadMsgUDPAddrPort(r.buf[:], r.oob[:])
		if errors.Is(err, net.ErrClosed) {
			return
		}
		if err != nil {
			if r.copies != nil {
				r.copies.Failed(err)
			}
			time.Sleep(time.Millisecond) // a temporary error, or a datagram that is too long
			continue
		}
		h := protocol.Datagram{At: time.Now(), From: netip.AddrPortFrom(from.Addr().Unmap(), from.Port()), Octets: r.buf[:n]}
		var cm ipv4.ControlMessage
		if r.p4 != nil && cm.Parse(r.oob[:oobn]) == nil {
			h.Interface = r.names.of(cm.IfIndex)
			if dst, ok := netip.AddrFromSlice(cm.Dst); ok && dst.Unmap().IsMulticast() {
				h.Group = dst.Unmap()
			}
		}
		if !r.original(&h) {
			continue
		}
		one[0] = h
		l.hear(one[:])
		r.pass(one[:])
	}
}
