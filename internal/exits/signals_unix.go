//go:build unix

package exits

import (
	"os"
	"runtime"
	"slices"
	"syscall"
)

// crashes are the signals that the Go runtime answers with a dump when another
// process sends them (os/signal, "Default behavior of signals in Go programs").
// A SIGBUS, SIGFPE or SIGSEGV that the program causes itself is a panic instead.
var crashes = []os.Signal{syscall.SIGQUIT, syscall.SIGABRT, syscall.SIGILL, syscall.SIGTRAP, syscall.SIGSYS,
	syscall.SIGBUS, syscall.SIGFPE, syscall.SIGSEGV}

// leaving are all signals that end the program. SIGTSTP, which Ctrl-Z sends, is
// one of them, since a stopped program cannot turn the prop off.
var leaving = slices.Concat([]os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGPIPE, syscall.SIGTSTP}, crashes, others())

// others are the signals that end a Go program on this system only.
func others() []os.Signal {
	if runtime.GOOS == "linux" {
		return []os.Signal{syscall.Signal(0x10)} // SIGSTKFLT, signal(7)
	}
	return nil
}
