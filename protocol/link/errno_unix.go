//go:build unix

package link

import (
	"errors"
	"os"
	"syscall"
)

// stateOf maps a system error to a state.
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

// portTaken reports whether another program has the port exclusively.
func portTaken(err error) bool { return errors.Is(err, syscall.EADDRINUSE) }

// notOurs reports whether the machine lacks the address.
func notOurs(err error) bool { return errors.Is(err, syscall.EADDRNOTAVAIL) }

// tooManyGroups reports whether a socket can join no more groups.
func tooManyGroups(err error) bool { return errors.Is(err, syscall.ENOBUFS) }

// isHostSilent reports whether a host did not answer address resolution.
func isHostSilent(err error) bool {
	return errors.Is(err, syscall.EHOSTUNREACH) || errors.Is(err, syscall.EHOSTDOWN)
}
