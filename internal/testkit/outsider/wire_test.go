package outsider

import (
	"bytes"
	"encoding/binary"
	"net"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A wire is a UDP socket that keeps the last slots of every universe, by the
// octets of ANSI E1.31-2018: 40 to 43 vector, 112 options, 113 and 114
// universe, 125 START code, 126 and on slots.
type wire struct {
	*net.UDPConn
	mu   sync.Mutex
	last map[int][]byte
	came chan struct{} // holds one when something came since it was last empty
}

func listen(t *testing.T) *wire {
	t.Helper()
	conn, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	w := &wire{UDPConn: conn, last: map[int][]byte{}, came: make(chan struct{}, 1)}
	done := make(chan struct{})
	go func() {
		defer close(done)
		w.read()
	}()
	t.Cleanup(func() {
		_ = conn.Close() // ends read
		<-done
	})
	return w
}

func (w *wire) read() {
	b := make([]byte, 2048)
	for {
		n, err := w.Read(b)
		if err != nil {
			return
		}
		if n < 126 || binary.BigEndian.Uint32(b[18:]) != 4 || binary.BigEndian.Uint32(b[40:]) != 2 || b[112]&0x40 != 0 || b[125] != 0 {
			continue
		}
		w.mu.Lock()
		w.last[int(binary.BigEndian.Uint16(b[113:]))] = append([]byte(nil), b[126:n]...)
		w.mu.Unlock()
		select {
		case w.came <- struct{}{}:
		default:
		}
	}
}

func (w *wire) port() int { return w.LocalAddr().(*net.UDPAddr).Port }

// holds reports whether the slots are on the wire, from a universe on. Slots
// after the last pixel need not be sent.
func (w *wire) holds(universes [][]byte, first int) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	for i, want := range universes {
		got, came := w.last[first+i]
		if !came || !bytes.Equal(append(slices.Clone(got), make([]byte, slotsOf-len(got))...), want) {
			return false
		}
	}
	return true
}

// await waits until the slots are on the wire, since a packet takes time to arrive.
func (w *wire) await(universes [][]byte, first int) bool {
	limit := time.After(time.Minute)
	for !w.holds(universes, first) {
		select {
		case <-w.came:
		case <-limit:
			return false
		}
	}
	return true
}
