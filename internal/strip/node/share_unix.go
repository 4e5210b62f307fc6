//go:build unix

package node

import "syscall"

// shareAddress lets other programs of this machine listen on the same port
// (socket(7): SO_REUSEADDR): all hear the same multicast groups, and the bench
// its own universes beside a simulated prop. A unicast packet goes to one socket
// only, so an address is claimed, and copies are offered.
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
