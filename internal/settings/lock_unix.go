//go:build unix

package settings

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// tryLock locks a file until it is closed, or gives errHeld at once.
func tryLock(f *os.File) error {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return errHeld
	}
	return err
}
