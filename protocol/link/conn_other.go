//go:build !linux || portable

package link

import (
	"errors"
	"net"
	"syscall"
	"time"
)

// A wire sends batches through one socket, one packet after the other.
type wire struct {
	udp   *net.UDPConn
	msgs  []message
	heard chan answer // errors for earlier packets, as reads return them
}

type message struct {
	packet []byte
	to     *net.UDPAddr
}

// newWire also reads a connected socket until it is closed: some systems report
// errors for earlier packets there.
func newWire(udp *net.UDPConn, connected bool) (*wire, error) {
	w := &wire{udp: udp, heard: make(chan answer, 16)}
	if connected {
		go w.hear()
	}
	return w, nil
}

func (w *wire) close() { w.udp.Close() }

// setWriteBuffer asks for room for n octets; the system gives as much as it allows.
func (w *wire) setWriteBuffer(n int) { w.udp.SetWriteBuffer(n) }

func (w *wire) hear() {
	var scrap [1]byte
	for {
		_, err := w.udp.Read(scrap[:])
		if errors.Is(err, net.ErrClosed) {
			return
		}
		if err == nil || stateOf(err) == Failed { // a datagram, or one too long for scrap
			continue
		}
		select {
		case w.heard <- answer{state: stateOf(err), err: err}:
		default: // sixteen are enough
		}
	}
}

// add puts a packet into the batch; to is nil on a connected socket.
func (w *wire) add(packet []byte, to *net.UDPAddr) {
	w.msgs = append(w.msgs, message{packet, to})
}

// size is how many messages the batch has.
func (w *wire) size() int { return len(w.msgs) }

// write sends the messages of the batch from index first on and returns how
// many left.
func (w *wire) write(first int) (n int, err error) {
	w.udp.SetWriteDeadline(time.Now().Add(writeWait))
	for _, m := range w.msgs[first:] {
		if m.to == nil {
			_, err = w.udp.Write(m.packet)
		} else {
			_, err = w.udp.WriteToUDP(m.packet, m.to)
		}
		if err != nil {
			return n, err
		}
		n++
	}
	return n, nil
}

// bindTo does nothing: the interface's address that the socket is bound to must
// suffice.
func bindTo(syscall.RawConn, string) {}

// reset empties the batch.
func (w *wire) reset() { w.msgs = w.msgs[:0] }
