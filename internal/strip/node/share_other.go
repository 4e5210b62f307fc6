//go:build !unix

package node

import "syscall"

// shareAddress does nothing here: sharing a port means something else on this
// system, so a second listener gets the error that it is taken.
func shareAddress(_, _ string, _ syscall.RawConn) error { return nil }
