package node

import (
	"encoding/binary"
	"net"
	"net/netip"
	"os"
	"syscall"
	"unsafe"

	"golang.org/x/sys/unix"
)

// A receiver reads datagrams from a socket by raw system calls, which do not wake the
// runtime's monitor thread. After other system calls that thread polls every 20 µs: a
// quarter of the wake-ups of a demo whose light moves (measured). MSG_DONTWAIT keeps
// the call from blocking.
type receiver struct {
	conn *net.UDPConn
	raw  syscall.RawConn // of conn

	// Arguments and results of one recvmsg(2).
	head  unix.Msghdr
	part  unix.Iovec
	from  [unix.SizeofSockaddrInet6]byte
	n     int
	errno unix.Errno
}

// receive reads one datagram into buf and its control data into oob. n and oobn are
// their lengths in octets.
func (r *receiver) receive(conn *net.UDPConn, buf, oob []byte) (n, oobn int, from netip.AddrPort, err error) {
	if r.conn != conn {
		if r.raw, err = conn.SyscallConn(); err != nil {
			return 0, 0, from, err
		}
		r.conn = conn
	}
	r.part.Base = &buf[0]
	r.part.SetLen(len(buf))
	r.head = unix.Msghdr{Name: &r.from[0], Iov: &r.part}
	r.head.SetIovlen(1)
	if len(oob) > 0 {
		r.head.Control = &oob[0]
	}
	if err = r.raw.Read(func(fd uintptr) bool { return r.once(fd, len(oob)) }); err != nil {
		return 0, 0, from, err
	}
	if r.errno != 0 {
		return 0, 0, from, os.NewSyscallError("recvmsg", r.errno)
	}
	return r.n, int(r.head.Controllen), r.sender(), nil
}

// once calls recvmsg(2). done is false while no datagram is waiting (EAGAIN).
func (r *receiver) once(fd uintptr, oob int) (done bool) {
	r.head.Namelen = uint32(len(r.from))
	r.head.SetControllen(oob)
	n, _, errno := unix.RawSyscall(unix.SYS_RECVMSG, fd, uintptr(unsafe.Pointer(&r.head)), unix.MSG_DONTWAIT)
	r.n, r.errno = int(n), errno
	return errno != unix.EAGAIN
}

func (r *receiver) sender() netip.AddrPort {
	port := binary.BigEndian.Uint16(r.from[2:])
	if binary.NativeEndian.Uint16(r.from[:]) == unix.AF_INET {
		return netip.AddrPortFrom(netip.AddrFrom4([4]byte(r.from[4:8])), port)
	}
	return netip.AddrPortFrom(netip.AddrFrom16([16]byte(r.from[8:24])).Unmap(), port)
}
