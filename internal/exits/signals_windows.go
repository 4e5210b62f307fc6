package exits

import (
	"os"
	"syscall"
)

var crashes []os.Signal

// leaving are all signals that end the program. On Windows the Go runtime
// reports a closed console, a log-off and a shutdown as SIGTERM, and Ctrl-Break
// as os.Interrupt (os/signal, "Windows").
var leaving = []os.Signal{os.Interrupt, syscall.SIGTERM}
