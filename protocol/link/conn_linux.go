//go:build !portable

package link

import (
	"encoding/binary"
	"net"
	"os"
	"syscall"
	"time"
	"unsafe"

	"golang.org/x/sys/unix"
)

// A wire sends batches through one socket with sendmmsg(2). It hands the
// kernel its own list of packets: filling another one for every call, as a
// general library must, costs as much as a fifth of the sending.
type wire struct {
	udp  *net.UDPConn
	raw  syscall.RawConn
	msgs []mmsghdr
	iovs []unix.Iovec            // the packet of each
	tos  []unix.RawSockaddrInet4 // where each goes on a socket that is not connected

	// What one call sends and what came of it. Both functions are made once,
	// so that a call allocates nothing.
	from, to int
	sent     int
	errno    unix.Errno
	try      func(fd uintptr) (done bool)
	once     func(fd uintptr)
}

func newWire(udp *net.UDPConn, connected bool) *wire {
	w := &wire{udp: udp}
	w.raw, _ = udp.SyscallConn() // fails for no socket only
	w.try = func(fd uintptr) bool {
		n, _, errno := unix.RawSyscall6(unix.SYS_SENDMMSG, fd, uintptr(unsafe.Pointer(&w.msgs[w.from])), uintptr(w.to-w.from), unix.MSG_DONTWAIT, 0, 0)
		w.sent, w.errno = 0, errno
		if errno == 0 {
			w.sent = int(n)
		}
		return errno != unix.EAGAIN && errno != unix.EINTR
	}
	w.once = func(fd uintptr) { w.try(fd) }
	return w
}

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

// write sends messages of the batch from the one at first on and says how many
// left. Fewer than all without an error means that the next one was stopped by
// what came back for an earlier one; the system has then forgotten the reason.
func (w *wire) write(first int) (n int, err error) {
	for first+n < len(w.msgs) && err == nil {
		w.from, w.to = first+n, min(first+n+batchLimit, len(w.msgs))
		err = w.call()
		n += w.sent
		if first+n < w.to {
			break
		}
	}
	return n, err
}

// call sends one part of the batch. A full interface is given writeWait.
func (w *wire) call() error {
	w.sent, w.errno = 0, 0
	err := w.raw.Control(w.once)
	if err == nil && (w.errno == unix.EAGAIN || w.errno == unix.EINTR) {
		w.udp.SetWriteDeadline(time.Now().Add(writeWait))
		err = w.raw.Write(w.try)
	}
	if err == nil && w.errno != 0 {
		err = os.NewSyscallError("sendmmsg", w.errno)
	}
	return err
}

// batchLimit is how many messages go into one call; more gain nothing, and the
// system takes 1024 at most.
const batchLimit = 128

// bindTo keeps a socket to one interface; without the right to do so, its
// address on that interface has to do.
func bindTo(raw syscall.RawConn, name string) {
	raw.Control(func(fd uintptr) { unix.BindToDevice(int(fd), name) })
}

// reset empties the batch.
func (w *wire) reset() { w.msgs, w.iovs, w.tos = w.msgs[:0], w.iovs[:0], w.tos[:0] }
