//go:build !portable

package link

import (
	"errors"
	"net"
	"syscall"
	"time"

	"golang.org/x/net/ipv4"
	"golang.org/x/sys/unix"
)

// A wire sends batches through one socket with sendmmsg.
type wire struct {
	udp  *net.UDPConn
	pc   *ipv4.PacketConn // WriteBatch is the same for both families
	msgs []ipv4.Message
}

func newWire(udp *net.UDPConn, connected bool) *wire {
	return &wire{udp: udp, pc: ipv4.NewPacketConn(udp)}
}

// add puts a packet into the batch; to is nil on a connected socket.
func (w *wire) add(packet []byte, to *net.UDPAddr) {
	n := len(w.msgs)
	if n < cap(w.msgs) {
		w.msgs = w.msgs[:n+1]
	} else {
		w.msgs = append(w.msgs, ipv4.Message{})
	}
	m := &w.msgs[n]
	if m.Buffers == nil {
		m.Buffers = make([][]byte, 1)
	}
	m.Buffers[0] = packet
	m.Addr = nil
	if to != nil {
		m.Addr = to
	}
}

// write sends messages of the batch from the one at first on and says how many
// left. Fewer than all without an error means that the next one was stopped by
// what came back for an earlier one; the system has then forgotten the reason.
func (w *wire) write(first int) (n int, err error) {
	for first+n < len(w.msgs) && err == nil {
		at := first + n
		end := min(at+batchLimit, len(w.msgs))
		var m int
		m, err = w.pc.WriteBatch(w.msgs[at:end], unix.MSG_DONTWAIT)
		if errors.Is(err, unix.EAGAIN) { // the interface is full
			w.udp.SetWriteDeadline(time.Now().Add(writeWait))
			m, err = w.pc.WriteBatch(w.msgs[at:end], 0)
		}
		n += max(m, 0)
		if at+m < end {
			break
		}
	}
	return n, err
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
func (w *wire) reset() { w.msgs = w.msgs[:0] }
