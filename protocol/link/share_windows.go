package link

import (
	"errors"
	"net"
	"net/netip"

	"golang.org/x/sys/windows"
)

// bindsToGroups is false: a socket cannot be bound to a group here.
const bindsToGroups = false

// bindGroup is not used here.
func bindGroup(netip.AddrPort) (net.PacketConn, error) { return nil, errors.ErrUnsupported }

// sharePort lets several programs listen, if share is set.
func sharePort(fd uintptr, _ netip.Addr, share bool) error {
	if !share {
		return nil
	}
	return windows.SetsockoptInt(windows.Handle(fd), windows.SOL_SOCKET, windows.SO_REUSEADDR, 1)
}
