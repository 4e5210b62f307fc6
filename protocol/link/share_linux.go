package link

import (
	"net/netip"

	"golang.org/x/sys/unix"
)

// bindsToGroups: a socket bound to a group takes only what is sent to it.
const bindsToGroups = true

// sharePort lets several programs listen, and keeps a socket to the groups it
// joined itself: otherwise each gets what anybody on the machine has joined
// (ip(7), IP_MULTICAST_ALL). It also asks for the facts that come with each
// datagram.
func sharePort(fd uintptr, at netip.Addr) error {
	s := int(fd)
	if err := unix.SetsockoptInt(s, unix.SOL_SOCKET, unix.SO_REUSEADDR, 1); err != nil {
		return err
	}
	// What follows makes reports better; none of it is needed to hear.
	unix.SetsockoptInt(s, unix.SOL_SOCKET, unix.SO_RCVBUFFORCE, readBuffer) // root only
	unix.SetsockoptInt(s, unix.SOL_SOCKET, unix.SO_RXQ_OVFL, 1)
	unix.SetsockoptInt(s, unix.SOL_SOCKET, unix.SO_TIMESTAMPNS, 1)
	if at.Is4() {
		unix.SetsockoptInt(s, unix.IPPROTO_IP, unix.IP_MULTICAST_ALL, 0)
		unix.SetsockoptInt(s, unix.IPPROTO_IP, unix.IP_PKTINFO, 1)
	} else {
		unix.SetsockoptInt(s, unix.IPPROTO_IPV6, unix.IPV6_RECVPKTINFO, 1)
	}
	return nil
}
