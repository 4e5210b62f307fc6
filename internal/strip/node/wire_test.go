package node_test

import (
	"context"
	"encoding/binary"
	"net"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/internal/testkit/striptest"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// A tap forwards datagrams from a sender to a node and keeps a copy of each, so that
// the test can read them by octet numbers.
type tap struct {
	conn *net.UDPConn
	mu   sync.Mutex
	seen [][]byte
	done chan struct{}
}

// newTap starts a tap that forwards to the node until the test ends.
func newTap(t *testing.T, n *node.Node) *tap {
	t.Helper()
	conn, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	p := &tap{conn: conn, done: make(chan struct{})}
	go func() {
		defer close(p.done)
		buf := make([]byte, 2048)
		for {
			size, err := conn.Read(buf)
			if err != nil {
				return
			}
			p.mu.Lock()
			p.seen = append(p.seen, append([]byte(nil), buf[:size]...))
			p.mu.Unlock()
			_, _ = conn.WriteToUDPAddrPort(buf[:size], n.Addr())
		}
	}()
	t.Cleanup(func() { conn.Close(); <-p.done })
	return p
}

// of returns the data packets of one universe so far (octets 18-21 and
// 113-114 of ANSI E1.31-2018 table 4-1).
func (p *tap) of(universe uint16) [][]byte {
	p.mu.Lock()
	defer p.mu.Unlock()
	var out [][]byte
	for _, b := range p.seen {
		if len(b) >= octetSlots && binary.BigEndian.Uint32(b[18:]) == 4 && binary.BigEndian.Uint16(b[octetUniverse:]) == universe {
			out = append(out, b)
		}
	}
	return out
}

// sender opens a sender of the prop's universes through the tap.
func sender(t *testing.T, p *prop.Prop, through *tap) (*link.Sender, *prop.Patch) {
	t.Helper()
	patch, err := prop.NewPatch(p.Pixels(), p.Chip.Order, p.Address)
	require.NoError(t, err)
	at := through.conn.LocalAddr().(*net.UDPAddr).AddrPort()
	cfg := link.Config{CID: protocol.NewCID([16]byte{1, 2, 3}), Source: "bench", Priority: 100, DiscoveryPort: at.Port()}
	for _, u := range patch.Universes() {
		cfg.Targets = append(cfg.Targets, link.Target{Universe: protocol.Universe(u), Host: "127.0.0.1", Port: at.Port()})
	}
	s, err := link.Open(cfg)
	require.NoError(t, err)
	return s, patch
}

// TestSenderToNodeByOctets sends a frame of the Porthole, reads the packets by the
// octet numbers of the standard's table, and only then checks the node's light, so that
// one misreading at both ends cannot pass.
func TestSenderToNodeByOctets(t *testing.T) {
	p := prop.Porthole()
	p.Address.Slot = 0
	n := striptest.Start(t, p)
	wire := newTap(t, n)
	out, patch := sender(t, p, wire)
	frame := make(patterns.Frame, p.Pixels())
	frame[0], frame[40], frame[143] = patterns.Colour{R: 10}, patterns.Colour{G: 20}, patterns.Colour{B: 30}
	slots := patch.Buffers()
	patch.Fill(slots, frame)
	out.Put(slots)

	striptest.Wait(t, n, "three pixels", func(l strip.Look) bool { return l.Light.Lit() == 3 })
	packets := wire.of(p.Address.Universe)
	require.NotEmpty(t, packets)
	b := packets[len(packets)-1]
	require.Equal(t, []byte("ASC-E1.17\x00\x00\x00"), b[4:16])
	require.Equal(t, byte(0), b[125], "START code")
	require.EqualValues(t, 144*3+1, binary.BigEndian.Uint16(b[123:]), "property value count: the START code and 3 slots a pixel")
	require.EqualValues(t, 10, b[octetSlots+1], "the Porthole is GRB: red is the second slot")
	require.EqualValues(t, 20, b[octetSlots+3*40])
	require.EqualValues(t, 30, b[octetSlots+3*143+2])

	l := n.Look().Light
	require.Equal(t, frame[0], l[0][0])
	require.Equal(t, frame[40], l[1][4], "pixel 41 is the fifth of the second ring: 36 come before it")
	require.Equal(t, frame[143], l[2][59])

	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	require.NoError(t, out.Close(ctx))
	striptest.WaitEnded(t, n)
	blackThenEnd(t, wire.of(p.Address.Universe))
}

// blackThenEnd checks the last packets of a universe: all slots 0, then three with
// Stream_Terminated in octet 112 (6.2.6), with consecutive sequence numbers.
func blackThenEnd(t *testing.T, packets [][]byte) {
	t.Helper()
	require.Greater(t, len(packets), 3)
	tail := packets[len(packets)-4:]
	for i, b := range tail {
		require.Equal(t, i > 0, b[octetOptions]&0x40 != 0, "packet %d of the last four", i+1)
		require.Equal(t, tail[0][octetSequence]+byte(i), b[octetSequence])
	}
	for _, v := range tail[0][octetSlots:] {
		require.Zero(t, v, "black before the end")
	}
}
