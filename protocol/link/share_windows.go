package link

import (
	"net/netip"

	"golang.org/x/sys/windows"
)

// bindsToGroups: a socket cannot be bound to a group here.
const bindsToGroups = false

// sharePort lets several programs listen.
func sharePort(fd uintptr, _ netip.Addr) error {
	return windows.SetsockoptInt(windows.Handle(fd), windows.SOL_SOCKET, windows.SO_REUSEADDR, 1)
}
