package node_test

import (
	"encoding/hex"
	"fmt"
	"net"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/internal/testkit/striptest"
	"example.org/ringout/patterns"
)

// worked is a packet of universe 1 with six slots, written octet by octet from the
// standard's tables 4-1, 6-1 and 7-1, and read back by tshark 4.0.17. No code under
// test made it.
const worked = `0010 0000 4153432d45312e3137000000
7074 00000004 00112233445566778899aabbccddeeff
705e 00000002 62656e6368` + "0000000000000000000000000000000000000000000000000000000000000000" +
	"000000000000000000000000000000000000000000000000000000" + `
64 0000 00 00 0001
7011 02 a1 0000 0001 0007 00 ff0000 00ff00`

// Octets of a data packet that the tests change (ANSI E1.31-2018 table 4-1).
const (
	octetCID      = 22
	octetPriority = 108
	octetSync     = 109
	octetSequence = 111
	octetOptions  = 112
	octetUniverse = 113
	octetStart    = 125
	octetSlots    = 126
)

// octets is the worked packet with slots in place of its six.
func octets(t *testing.T, slots ...byte) []byte {
	t.Helper()
	b, err := hex.DecodeString(strings.Join(strings.Fields(worked), ""))
	require.NoError(t, err)
	require.Len(t, b, 132)
	b = append(b[:octetSlots:octetSlots], slots...)
	n := len(slots)
	for at, length := range map[int]int{16: 110 + n, 38: 88 + n, 115: 11 + n} { // each layer's length counts from its own flags on
		b[at], b[at+1] = 0x70|byte(length>>8), byte(length)
	}
	b[123], b[124] = byte((n+1)>>8), byte(n+1) // property value count
	return b
}

// with is a copy of the packet with one octet set.
func with(b []byte, at int, v byte) []byte {
	b = append([]byte(nil), b...)
	b[at] = v
	return b
}

// A packetSender sends packets to a node, counting sequence numbers as it goes.
type packetSender struct {
	t    *testing.T
	conn net.Conn
	seq  byte
}

func newPacketSender(t *testing.T, n *node.Node) *packetSender {
	t.Helper()
	c, err := net.Dial("udp", n.Addr().String())
	require.NoError(t, err)
	t.Cleanup(func() { c.Close() })
	return &packetSender{t: t, conn: c}
}

func (h *packetSender) send(b []byte) {
	h.t.Helper()
	h.seq++
	_, err := h.conn.Write(with(b, octetSequence, h.seq))
	require.NoError(h.t, err)
}

// small is a prop of n RGB pixels from universe 1 slot 1.
func small(n int) *prop.Prop {
	return &prop.Prop{Name: "small", Chip: prop.Chip{Order: "RGB", Volts: 5, LightsPerMetre: 60},
		Runs: []prop.Run{{Name: "only", Pixels: n}}, Address: prop.Address{Universe: 1}}
}

// shows waits until the first run shows these colours.
func shows(t *testing.T, n *node.Node, want ...patterns.Colour) {
	t.Helper()
	striptest.Wait(t, n, fmt.Sprint(want), func(l strip.Look) bool {
		return fmt.Sprint(l.Light[0]) == fmt.Sprint(want)
	})
}

// sync sends a synchronization packet.
func (h *packetSender) sync(seq, address byte) {
	h.t.Helper()
	_, err := h.conn.Write(syncOctets(h.t, seq, address))
	require.NoError(h.t, err)
}

// syncOctets is a synchronization packet, laid out by octet (table 4-2).
func syncOctets(t *testing.T, seq, address byte) []byte {
	t.Helper()
	b, err := hex.DecodeString("001000004153432d45312e31370000007021000000080011223344556677" +
		"8899aabbccddeeff700b00000001" + hex.EncodeToString([]byte{seq, 0, address, 0, 0}))
	require.NoError(t, err)
	require.Len(t, b, 49)
	return b
}
