//go:build unix

package node

import "syscall"

// shareAddress lets other programs of this machine listen on the same port (socket(7):
// SO_REUSEADDR): all receive the same multicast groups, and the bench hears its own
// universes while a simulated prop runs. A unicast packet reaches one socket only; see
// claim and package port.
func shareAddress(_, _ string, c syscall.RawConn) error {
	var failed error
	err := c.Control(func(fd uintptr) {
		failed = syscall.SetsockoptInt(int(fd), syscall.SOL_SOCKET, syscall.SO_REUSEADDR, 1)
	})
	if err != nil {
		return err
	}
	return failed
}
