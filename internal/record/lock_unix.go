//go:build unix

package record

import (
	"os"

	"golang.org/x/sys/unix"
)

// lock waits until no other process holds the file; it calls waits before.
func lock(f *os.File, waits func()) error {
	if unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB) == nil {
		return nil
	}
	waits()
	for {
		err := unix.Flock(int(f.Fd()), unix.LOCK_EX)
		if err != unix.EINTR {
			return err
		}
	}
}

func unlock(f *os.File) { _ = unix.Flock(int(f.Fd()), unix.LOCK_UN) }

// syncFolder puts a new file's name on disk.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
