//go:build !portable

package link

import (
	"encoding/binary"
	"net/netip"
	"time"
	"unsafe"

	"golang.org/x/sys/unix"

	"example.org/ringout/protocol"
)

const (
	readSize = 1536 // the longest E1.31 packet has 1144 octets
	oobSize  = 160
	nameSize = unix.SizeofSockaddrInet6
)

// A mmsghdr is one message of recvmmsg(2).
type mmsghdr struct {
	hdr unix.Msghdr
	n   [unsafe.Sizeof(uintptr(0))]byte // length in the first four, then padding
}

func (m *mmsghdr) len() int { return min(int(binary.NativeEndian.Uint32(m.n[:])), readSize) }

// A reader reads one socket until it is closed, many datagrams a call, and
// allocates nothing while it does.
type reader struct {
	*socket
	msgs  []mmsghdr
	iovs  []unix.Iovec
	bufs  [][readSize]byte
	oobs  [][oobSize]byte
	from  [][nameSize]byte
	heard []protocol.Datagram
	names names
	lost  uint32 // the system's count of dropped datagrams
}

func newReader(s *socket, batch int) *reader {
	r := &reader{
		socket: s, msgs: make([]mmsghdr, batch), iovs: make([]unix.Iovec, batch), bufs: make([][readSize]byte, batch),
		oobs: make([][oobSize]byte, batch), from: make([][nameSize]byte, batch), heard: make([]protocol.Datagram, batch),
	}
	for i := range r.msgs {
		r.iovs[i].Base = &r.bufs[i][0]
		r.iovs[i].SetLen(readSize)
		h := &r.msgs[i].hdr
		h.Iov, h.Control, h.Name = &r.iovs[i], &r.oobs[i][0], &r.from[i][0]
		h.SetIovlen(1)
	}
	return r
}

func (r *reader) run(l *Listener) {
	raw, err := r.udp.SyscallConn()
	if err != nil {
		return
	}
	for {
		var n int
		var errno unix.Errno
		err := raw.Read(func(fd uintptr) bool {
			n, errno = r.read(fd)
			return errno != unix.EAGAIN
		})
		if err != nil { // closed
			return
		}
		if errno != 0 {
			if r.copies != nil {
				r.copies.Failed(errno)
			}
			time.Sleep(time.Millisecond) // a temporary error
			continue
		}
		heard := r.unpack(n, time.Now(), l)
		l.hear(heard)
		r.pass(heard)
	}
}

func (r *reader) read(fd uintptr) (int, unix.Errno) {
	for i := range r.msgs {
		h := &r.msgs[i].hdr
		h.Namelen = nameSize
		h.SetControllen(oobSize)
	}
	n, _, errno := unix.RawSyscall6(unix.SYS_RECVMMSG, fd, uintptr(unsafe.Pointer(&r.msgs[0])), uintptr(len(r.msgs)), unix.MSG_DONTWAIT, 0, 0)
	return int(n), errno
}

func (r *reader) unpack(n int, now time.Time, l *Listener) []protocol.Datagram {
	at := 0
	for i := range n {
		m := &r.msgs[i]
		h := &r.heard[at]
		*h = protocol.Datagram{At: now, From: r.sender(i), Octets: r.bufs[i][:m.len()]}
		r.facts(h, r.oobs[i][:m.hdr.Controllen], now, l)
		if r.original(h) {
			at++
		}
	}
	return r.heard[:at]
}

func (r *reader) sender(i int) netip.AddrPort {
	b := &r.from[i]
	port := binary.BigEndian.Uint16(b[2:])
	if binary.NativeEndian.Uint16(b[:]) == unix.AF_INET {
		return netip.AddrPortFrom(netip.AddrFrom4([4]byte(b[4:8])), port)
	}
	return netip.AddrPortFrom(netip.AddrFrom16([16]byte(b[8:24])).Unmap(), port)
}

// facts reads what the system reports about a datagram: interface, destination,
// time, and how many were dropped before it (cmsg(3)).
func (r *reader) facts(h *protocol.Datagram, oob []byte, now time.Time, l *Listener) {
	const head, align = unix.SizeofCmsghdr, int(unsafe.Sizeof(uintptr(0)))
	for len(oob) >= head {
		c := (*unix.Cmsghdr)(unsafe.Pointer(&oob[0]))
		size := int(c.Len)
		if size < head || size > len(oob) {
			return
		}
		r.fact(h, c, oob[head:size], now, l)
		oob = oob[min((size+align-1)&^(align-1), len(oob)):]
	}
}

// fact reads one of them.
func (r *reader) fact(h *protocol.Datagram, c *unix.Cmsghdr, data []byte, now time.Time, l *Listener) {
	switch {
	case c.Level == unix.SOL_SOCKET:
		r.socketFact(h, c.Type, data, now, l)
	case c.Level == unix.IPPROTO_IP && c.Type == unix.IP_PKTINFO && len(data) >= 12:
		h.Interface = r.names.of(int(binary.NativeEndian.Uint32(data)))
		if dst := netip.AddrFrom4([4]byte(data[8:12])); dst.IsMulticast() {
			h.Group = dst
		}
	case c.Level == unix.IPPROTO_IPV6 && c.Type == unix.IPV6_PKTINFO && len(data) >= 20:
		h.Interface = r.names.of(int(binary.NativeEndian.Uint32(data[16:])))
	}
}

// socketFact reads what socket(7) reports: datagrams dropped so far, and the
// time of arrival.
func (r *reader) socketFact(h *protocol.Datagram, what int32, data []byte, now time.Time, l *Listener) {
	switch {
	case what == unix.SO_RXQ_OVFL && len(data) >= 4:
		lost := binary.NativeEndian.Uint32(data)
		if lost != r.lost {
			l.lost(lost - r.lost)
		}
		r.lost = lost
	case what == unix.SO_TIMESTAMPNS && len(data) >= 16:
		h.At = arrival(data, now)
	}
}

// arrival turns the system's timestamp into a time on Go's monotonic clock. An
// implausible timestamp, as when the wall clock was just set, is not used.
func arrival(stamp []byte, now time.Time) time.Time {
	at := time.Unix(int64(binary.NativeEndian.Uint64(stamp)), int64(binary.NativeEndian.Uint64(stamp[8:])))
	age := now.Round(0).Sub(at)
	if age < 0 || age > time.Second {
		return now
	}
	return now.Add(-age)
}
