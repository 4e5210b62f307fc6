package link

import (
	"errors"

	"golang.org/x/sys/windows"
)

// stateOf reads the system's errors. Windows reports a refusal as a connection
// that was reset, to a read.
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

// portTaken says that another program has the port for itself.
func portTaken(err error) bool {
	return errors.Is(err, windows.WSAEADDRINUSE) || errors.Is(err, windows.WSAEACCES)
}

// notOurs says that the machine has no such address.
func notOurs(err error) bool { return errors.Is(err, windows.WSAEADDRNOTAVAIL) }

// tooManyGroups says that a socket can join no more groups.
func tooManyGroups(err error) bool { return errors.Is(err, windows.WSAENOBUFS) }

// isHostSilent says that a host did not answer when it was looked for.
func isHostSilent(err error) bool {
	return errors.Is(err, windows.WSAEHOSTUNREACH) || errors.Is(err, windows.WSAEHOSTDOWN)
}
