//go:build unix

package cli

import (
	"os"
	"syscall"
)

// leaving are the signals that end the program the orderly way: black, then
// three packets with Stream_Terminated.
var leaving = []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}
