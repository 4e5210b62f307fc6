//go:build !linux

package node

import (
	"net"
	"net/netip"
)

// A receiver reads datagrams from a socket.
type receiver struct{}

// receive reads one datagram into buf and its control data into oob. n and oobn are
// their lengths in octets.
func (receiver) receive(conn *net.UDPConn, buf, oob []byte) (n, oobn int, from netip.AddrPort, err error) {
	n, oobn, _, from, err = conn.ReadMsgUDPAddrPort(buf, oob)
	return n, oobn, from, err
}
