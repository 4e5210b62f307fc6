//go:build unix && !linux

package link

import (
	"errors"
	"net"
	"net/netip"

	"golang.org/x/sys/unix"
)

// bindsToGroups is false: a socket here receives the groups it joined, and
// several programs may bind the same unicast port.
const bindsToGroups = false

// bindGroup is not used here.
func bindGroup(netip.AddrPort) (net.PacketConn, error) { return nil, errors.ErrUnsupported }

// sharePort lets several programs listen, if share is set.
func sharePort(fd uintptr, _ netip.Addr, share bool) error {
	if !share {
		return nil
	}
	if err := unix.SetsockoptInt(int(fd), unix.SOL_SOCKET, unix.SO_REUSEADDR, 1); err != nil {
		return err
	}
	return unix.SetsockoptInt(int(fd), unix.SOL_SOCKET, unix.SO_REUSEPORT, 1)
}
