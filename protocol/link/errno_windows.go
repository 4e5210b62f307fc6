package link

import (
	"errors"

	"golang.org/x/sys/windows"
)

// stateOf maps a system error to a state. Windows reports a refusal as a
// connection reset, on a read.
func stateOf(err error) State {
	var errno windows.Errno
	if !errors.As(err, &errno) {
		return Failed
	}
	switch errno {
	case windows.WSAECONNRESET, windows.WSAECONNREFUSED:
		return Refused
	case windows.WSAENETUNREACH, windows.WSAEHOSTUNREACH, windows.WSAENETDOWN, windows.WSAEHOSTDOWN,
		windows.WSAEADDRNOTAVAIL, windows.WSAENETRESET, windows.WSAETIMEDOUT:
		return Unreachable
	default:
		return Failed
	}
}

// portTaken reports whether another program has the port exclusively.
func portTaken(err error) bool {
	return errors.Is(err, windows.WSAEADDRINUSE) || errors.Is(err, windows.WSAEACCES)
}

// notOurs reports whether the machine lacks the address.
func notOurs(err error) bool { return errors.Is(err, windows.WSAEADDRNOTAVAIL) }

// tooManyGroups reports whether a socket can join no more groups.
func tooManyGroups(err error) bool { return errors.Is(err, windows.WSAENOBUFS) }

// isHostSilent reports whether a host did not answer address resolution.
func isHostSilent(err error) bool {
	return errors.Is(err, windows.WSAEHOSTUNREACH) || errors.Is(err, windows.WSAEHOSTDOWN)
}
