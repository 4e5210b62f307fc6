//go:build !portable

package link

import (
	"encoding/binary"
	"errors"
	"net"
	"os"
	"syscall"
	"time"
	"unsafe"

	"golang.org/x/sys/unix"
)

// A wire sends batches through one socket with sendmmsg(2). It passes its own
// list of packets to the kernel: a general library fills a new list for every
// call, which costs up to a fifth of the time for sending.
type wire struct {
	fd   int
	msgs []mmsghdr
	iovs []unix.Iovec            // the packet of each
	tos  []unix.RawSockaddrInet4 // where each goes on a socket that is not connected

}

// newWire takes the socket out of the runtime's poller, which otherwise wakes a
// second time for every batch, when the socket becomes writable again. Only the
// owner closes the socket, therefore, and only call waits for it.
func newWire(udp *net.UDPConn, _ bool) (*wire, error) {
	defer udp.Close()
	raw, err := udp.SyscallConn()
	if err != nil {
		return nil, err
	}
	w := &wire{fd: closed}
	ctl := raw.Control(func(fd uintptr) { w.fd, err = unix.FcntlInt(fd, unix.F_DUPFD_CLOEXEC, 0) })
	return w, errors.Join(ctl, os.NewSyscallError("fcntl", err))
}

const closed = -1 // not a file descriptor: a later send fails

func (w *wire) close() {
	if w.fd != closed {
		unix.Close(w.fd)
	}
	w.fd = closed
}

// setWriteBuffer asks for room for n octets; the system gives as much as it allows.
func (w *wire) setWriteBuffer(n int) { unix.SetsockoptInt(w.fd, unix.SOL_SOCKET, unix.SO_SNDBUF, n) }

// add puts a packet into the batch; to is nil on a connected socket.
func (w *wire) add(packet []byte, to *net.UDPAddr) {
	n := len(w.msgs)
	if n == cap(w.msgs) {
		w.grow(2*n + 16)
	}
	w.msgs, w.iovs, w.tos = w.msgs[:n+1], w.iovs[:n+1], w.tos[:n+1]
	w.iovs[n].Base = unsafe.SliceData(packet)
	w.iovs[n].SetLen(len(packet))
	h := &w.msgs[n].hdr
	h.Name, h.Namelen = nil, 0
	if to == nil {
		return
	}
	w.tos[n] = unix.RawSockaddrInet4{Family: unix.AF_INET, Addr: [4]byte(to.IP.To4())}
	binary.BigEndian.PutUint16((*[2]byte)(unsafe.Pointer(&w.tos[n].Port))[:], uint16(to.Port)) // network order
	h.Name, h.Namelen = (*byte)(unsafe.Pointer(&w.tos[n])), unix.SizeofSockaddrInet4
}

// size is how many messages the batch has.
func (w *wire) size() int { return len(w.msgs) }

// grow makes room for n messages.
func (w *wire) grow(n int) {
	old := *w
	w.msgs, w.iovs, w.tos = make([]mmsghdr, len(old.msgs), n), make([]unix.Iovec, len(old.iovs), n), make([]unix.RawSockaddrInet4, len(old.tos), n)
	copy(w.msgs, old.msgs)
	copy(w.iovs, old.iovs)
	copy(w.tos, old.tos)
	for i := range n {
		h := &w.msgs[:n][i].hdr
		h.Iov = &w.iovs[:n][i]
		h.SetIovlen(1)
		if h.Name != nil {
			h.Name = (*byte)(unsafe.Pointer(&w.tos[i]))
		}
	}
}

// write sends the messages of the batch from index first on and returns how
// many left. Fewer than all without an error means that an ICMP error for an
// earlier packet stopped the next one; the system has then dropped the reason. On a full
// interface it waits up to writeWait.
func (w *wire) write(first int) (sent int, err error) {
	part := w.msgs[first:]
	sent, errno := w.sendmmsg(part)
	for until := time.Now(); errno == unix.EAGAIN || errno == unix.EINTR; sent, errno = w.sendmmsg(part) {
		left := writeWait - time.Since(until)
		if left <= 0 {
			return 0, os.ErrDeadlineExceeded
		}
		unix.Poll([]unix.PollFd{{Fd: int32(w.fd), Events: unix.POLLOUT}}, int(left.Milliseconds())+1)
	}
	if errno != 0 {
		return 0, os.NewSyscallError("sendmmsg", errno)
	}
	return sent, nil
}

// sendmmsg never blocks. A raw call does not wake the runtime's monitor.
func (w *wire) sendmmsg(part []mmsghdr) (int, unix.Errno) {
	n, _, errno := unix.RawSyscall6(unix.SYS_SENDMMSG, uintptr(w.fd), uintptr(unsafe.Pointer(&part[0])), uintptr(len(part)), unix.MSG_DONTWAIT, 0, 0)
	if errno != 0 {
		return 0, errno
	}
	return int(n), 0
}

// bindTo limits a socket to one interface; without the permission for that, the
// interface's address that it is bound to must suffice.
func bindTo(raw syscall.RawConn, name string) {
	raw.Control(func(fd uintptr) { unix.BindToDevice(int(fd), name) })
}

// reset empties the batch.
func (w *wire) reset() { w.msgs, w.iovs, w.tos = w.msgs[:0], w.iovs[:0], w.tos[:0] }
