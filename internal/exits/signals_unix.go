//go:build unix

package exits

import (
	"os"
	"runtime"
	"slices"
	"syscall"
)

// crashes are the signals that a Go program answers with a dump when they come
// from outside (os/signal, "Default behavior of signals in Go programs"), those
// of a fault of its own apart: these are panics.
var crashes = []os.Signal{syscall.SIGQUIT, syscall.SIGABRT, syscall.SIGILL, syscall.SIGTRAP, syscall.SIGSYS,
	syscall.SIGBUS, syscall.SIGFPE, syscall.SIGSEGV}

// leaving are all signals that end the program. SIGTSTP, which Ctrl-Z sends, is
// among them: a stopped program can make nothing dark.
var leaving = slices.Concat([]os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGPIPE, syscall.SIGTSTP}, crashes, others())

// others are signals that end a Go program on one system only.
func others() []os.Signal {
	if runtime.GOOS == "linux" {
		return []os.Signal{syscall.Signal(0x10)} // SIGSTKFLT, signal(7)
	}
	return nil
}
