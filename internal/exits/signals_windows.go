package exits

import (
	"os"
	"syscall"
)

var crashes []os.Signal

// leaving are all signals that end the program. Windows turns a closed console,
// a log-off and a shutdown into SIGTERM for Go programs, Ctrl-Break into
// os.Interrupt.
var leaving = []os.Signal{os.Interrupt, syscall.SIGTERM}
