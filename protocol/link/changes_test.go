//go:build linux && !portable

package link

import (
	"net/netip"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// One message or many since the last time are a change, none is none, and where the
// system does not say what changes there is never one.
func TestChangesAreHeardOnce(t *testing.T) {
	ends, err := unix.Socketpair(unix.AF_UNIX, unix.SOCK_DGRAM|unix.SOCK_CLOEXEC, 0)
	require.NoError(t, err)
	defer unix.Close(ends[1])
	c := &changes{ends[0]}
	require.True(t, c.heard())
	require.False(t, c.any())
	for _, n := range []int{1, 3} {
		for range n {
			_, err := unix.Write(ends[1], make([]byte, 1500)) // longer than what is read of it
			require.NoError(t, err)
		}
		require.True(t, c.any())
		require.False(t, c.any(), "once")
	}
	c.close()
	require.False(t, c.heard())
	require.False(t, c.any())
	c.close() // once more does no harm
}

// The kernel takes part: a socket of rtnetlink(7) is to be had without rights.
func TestTheSystemSaysWhatChanges(t *testing.T) {
	c := newChanges()
	defer c.close()
	require.True(t, c.heard())
	name, err := unix.Getsockname(c.fd)
	require.NoError(t, err)
	require.Equal(t, uint32(changeGroups), name.(*unix.SockaddrNetlink).Groups&changeGroups)
}

// A closed socket sends nothing, least of all through a file that has its number by
// then.
func TestAClosedWireSendsNothing(t *testing.T) {
	o, err := dial(t.Context(), netip.MustParseAddrPort("127.0.0.1:5568"), Interface{})
	require.NoError(t, err)
	w := o.wire
	w.add([]byte{1}, nil)
	w.close()
	n, err := w.write(0)
	require.Zero(t, n)
	require.ErrorIs(t, err, unix.EBADF)
	w.close()
}
