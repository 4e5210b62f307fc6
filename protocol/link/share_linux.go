package link

import (
	"net"
	"net/netip"
	"os"

	"golang.org/x/sys/unix"
)

// bindsToGroups is true: a socket bound to a group receives that group only.
const bindsToGroups = true

// bindGroup opens a socket that is bound to a group itself. Package net would
// bind it to every address instead, and it would then take unicast away from
// other programs: the newest socket gets it (udp(7), SO_REUSEADDR).
func bindGroup(at netip.AddrPort) (net.PacketConn, error) {
	fd, err := unix.Socket(unix.AF_INET, unix.SOCK_DGRAM|unix.SOCK_CLOEXEC|unix.SOCK_NONBLOCK, 0)
	if err != nil {
		return nil, os.NewSyscallError("socket", err)
	}
	file := os.NewFile(uintptr(fd), "group "+at.String())
	defer file.Close() // the connection has a copy
	if err := sharePort(uintptr(fd), at.Addr(), true); err != nil {
		return nil, os.NewSyscallError("setsockopt", err)
	}
	if err := unix.Bind(fd, &unix.SockaddrInet4{Port: int(at.Port()), Addr: at.Addr().As4()}); err != nil {
		return nil, os.NewSyscallError("bind", err)
	}
	return net.FilePacketConn(file)
}

// sharePort lets several programs listen, if share is set, and limits a socket
// to the groups that it joined itself: otherwise it receives every group that
// any program of the machine has joined (ip(7), IP_MULTICAST_ALL). It also
// requests the control messages of each datagram.
func sharePort(fd uintptr, at netip.Addr, share bool) error {
	s := int(fd)
	if share {
		if err := unix.SetsockoptInt(s, unix.SOL_SOCKET, unix.SO_REUSEADDR, 1); err != nil {
			return err
		}
	}
	// These options make reports more exact; reception works without them.
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
