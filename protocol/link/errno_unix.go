//go:build unix

package link

import (
	"errors"
	"os"
	"syscall"
)

// stateOf reads the system's errors.
func stateOf(err error) State {
	var errno syscall.Errno
	switch {
	case errors.Is(err, os.ErrDeadlineExceeded):
		return Failed
	case !errors.As(err, &errno):
		return Failed
	}
	switch errno {
	case syscall.ECONNREFUSED:
		return Refused
	case syscall.ENETUNREACH, syscall.EHOSTUNREACH, syscall.ENETDOWN, syscall.EHOSTDOWN,
		syscall.EADDRNOTAVAIL, syscall.ETIMEDOUT, syscall.EINVAL:
		return Unreachable // EINVAL: Linux, when the socket's own address has gone
	case syscall.ENODEV, syscall.ENXIO:
		return NoInterface
	default:
		return Failed
	}
}

// portTaken says that another program has the port for itself.
func portTaken(err error) bool { return errors.Is(err, syscall.EADDRINUSE) }

// notOurs says that the machine has no such address.
func notOurs(err error) bool { return errors.Is(err, syscall.EADDRNOTAVAIL) }

// tooManyGroups says that a socket can join no more groups.
func tooManyGroups(err error) bool { return errors.Is(err, syscall.ENOBUFS) }

// isHostSilent says that a host did not answer when it was looked for.
func isHostSilent(err error) bool {
	return errors.Is(err, syscall.EHOSTUNREACH) || errors.Is(err, syscall.EHOSTDOWN)
}
