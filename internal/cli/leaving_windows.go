package cli

import (
	"os"
	"syscall"
)

// leaving are the signals that end the program the orderly way. Windows turns
// a closed console into SIGTERM for Go programs.
var leaving = []os.Signal{os.Interrupt, syscall.SIGTERM}
