//go:build !portable

package link

import (
	"encoding/binary"
	"net/netip"
	"syscall"
	"unsafe"

	"golang.org/x/sys/unix"
)

// hearAnswers makes the system queue the ICMP errors for earlier packets.
// Without this a connected socket reports closed ports only, not hosts that do
// not answer (ip(7), IP_RECVERR).
func hearAnswers(raw syscall.RawConn, v6 bool) {
	raw.Control(func(fd uintptr) {
		if v6 {
			unix.SetsockoptInt(int(fd), unix.IPPROTO_IPV6, unix.IPV6_RECVERR, 1)
		} else {
			unix.SetsockoptInt(int(fd), unix.IPPROTO_IP, unix.IP_RECVERR, 1)
		}
	})
}

// pending is never true: an ICMP error shows as the error of a write.
func (w *wire) pending() bool { return false }

// answers takes up to 64 queued errors, newest last. It never blocks and leaves
// no error for the next write.
func (w *wire) answers(list []answer) []answer {
	var oob [512]byte
	var data [64]byte
	for range 64 {
		_, n, _, _, err := unix.Recvmsg(w.fd, data[:], oob[:], unix.MSG_ERRQUEUE|unix.MSG_DONTWAIT)
		if err != nil {
			break
		}
		if a, ok := parseAnswer(oob[:n]); ok {
			list = append(list, a)
		}
	}
	return list
}

// parseAnswer reads a sock_extended_err and the address after it (ip(7)).
func parseAnswer(oob []byte) (answer, bool) {
	msgs, err := unix.ParseSocketControlMessage(oob)
	if err != nil {
		return answer{}, false
	}
	for _, m := range msgs {
		const size = int(unsafe.Sizeof(unix.SockExtendedErr{}))
		if m.Header.Type != unix.IP_RECVERR && m.Header.Type != unix.IPV6_RECVERR || len(m.Data) < size {
			continue
		}
		errno := unix.Errno(binary.NativeEndian.Uint32(m.Data))
		if errno == unix.EMSGSIZE || errno == 0 { // about the path, not the host
			continue
		}
		return answer{state: stateOf(errno), err: errno, from: addrOf(m.Data[size:])}, true
	}
	return answer{}, false
}

func addrOf(sockaddr []byte) netip.Addr {
	if len(sockaddr) < 8 {
		return netip.Addr{}
	}
	switch binary.NativeEndian.Uint16(sockaddr) {
	case unix.AF_INET:
		return netip.AddrFrom4([4]byte(sockaddr[4:8]))
	case unix.AF_INET6:
		if len(sockaddr) >= 24 {
			return netip.AddrFrom16([16]byte(sockaddr[8:24])).Unmap()
		}
	}
	return netip.Addr{}
}
