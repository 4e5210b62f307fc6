//go:build !linux

package node

import (
	"net"
	"net/netip"
)

// A receiver takes datagrams from a socket.
type receiver struct{}

// receive takes one datagram and what the system says of it.
func (receiver) receive(conn *net.UDPConn, buf, oob []byte) (n, oobn int, from netip.AddrPort, err error) {
	n, oobn, _, from, err = conn.ReadMsgUDPAddrPort(buf, oob)
	return n, oobn, from, err
}
