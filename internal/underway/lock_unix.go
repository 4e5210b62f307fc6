//go:build unix

package underway

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// tryLock takes the file without waiting; errHeld when another has it.
func tryLock(f *os.File) error {
	for {
		err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
		switch {
		case errors.Is(err, unix.EINTR):
		case errors.Is(err, unix.EWOULDBLOCK):
			return errHeld
		default:
			return err
		}
	}
}
