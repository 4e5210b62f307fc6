//go:build unix && !linux

package link

import (
	"net/netip"

	"golang.org/x/sys/unix"
)

// bindsToGroups: a socket here takes what is sent to the groups it joined, and
// several programs may take the same unicast port.
const bindsToGroups = false

// sharePort lets several programs listen.
func sharePort(fd uintptr, _ netip.Addr) error {
	if err := unix.SetsockoptInt(int(fd), unix.SOL_SOCKET, unix.SO_REUSEADDR, 1); err != nil {
		return err
	}
	return unix.SetsockoptInt(int(fd), unix.SOL_SOCKET, unix.SO_REUSEPORT, 1)
}
