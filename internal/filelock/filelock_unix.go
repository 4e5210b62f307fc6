//go:build unix

package filelock

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// Try locks the file without waiting; the error is ErrHeld when another has it.
func Try(f *os.File) error {
	err := flock(f, unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return ErrHeld
	}
	return err
}

func lock(f *os.File) error { return flock(f, unix.LOCK_EX) }

// Unlock gives a locked file free.
func Unlock(f *os.File) { _ = flock(f, unix.LOCK_UN) }

// flock calls flock(2) again after a signal.
func flock(f *os.File, how int) error {
	for {
		if err := unix.Flock(int(f.Fd()), how); !errors.Is(err, unix.EINTR) {
			return err
		}
	}
}
