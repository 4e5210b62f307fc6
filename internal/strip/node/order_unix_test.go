//go:build unix

package node_test

import (
	"context"
	"fmt"
	"net"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/strip/node"
	"example.org/ringout/patterns"
)

// wildcard is a socket like that of the bench's listener: on every address of a port
// that it shares (SO_REUSEADDR).
func wildcard(t *testing.T, port uint16) net.PacketConn {
	t.Helper()
	lc := net.ListenConfig{Control: func(_, _ string, c syscall.RawConn) error {
		return c.Control(func(fd uintptr) {
			require.NoError(t, syscall.SetsockoptInt(int(fd), syscall.SOL_SOCKET, syscall.SO_REUSEADDR, 1))
		})
	}}
	c, err := lc.ListenPacket(context.Background(), "udp4", fmt.Sprintf("0.0.0.0:%d", port))
	require.NoError(t, err)
	t.Cleanup(func() { c.Close() })
	return c
}

// The bench that listens on a port and a prop on an address with that port can start in
// either order. Packets to the prop reach the prop and a second prop at the same
// address.
func TestBenchAndPropShareAPort(t *testing.T) {
	for _, benchFirst := range []bool{true, false} {
		t.Run(fmt.Sprint("bench first ", benchFirst), func(t *testing.T) {
			free, err := net.ListenPacket("udp4", "127.0.0.1:0")
			require.NoError(t, err)
			port := uint16(free.LocalAddr().(*net.UDPAddr).Port)
			free.Close()
			if benchFirst {
				wildcard(t, port)
			}
			at := node.Options{Addr: fmt.Sprintf("127.0.0.1:%d", port)}
			n, err := node.Start(context.Background(), small(1), at)
			require.NoError(t, err)
			defer n.Close()
			if !benchFirst {
				wildcard(t, port)
			}
			newPacketSender(t, n).send(octets(t, 1, 2, 3))
			shows(t, n, patterns.Colour{R: 1, G: 2, B: 3})
			second, err := node.Start(context.Background(), small(1), at)
			require.NoError(t, err)
			defer second.Close()
			newPacketSender(t, n).send(with(octets(t, 3, 2, 1), octetCID, 0x99))
			shows(t, second, patterns.Colour{R: 3, G: 2, B: 1})
		})
	}
}
