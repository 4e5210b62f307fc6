//go:build unix

package strip

import "syscall"

// shareAddress lets other programs of this machine hear the same multicast
// groups on the same port (socket(7): SO_REUSEADDR). It is set for multicast
// only: a unicast packet goes to one program, so there a port that is taken
// must be told.
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
