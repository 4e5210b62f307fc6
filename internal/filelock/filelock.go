// Package filelock locks files between processes. A lock ends with the file's
// last descriptor, so that of a killed process is free.
package filelock

import (
	"errors"
	"os"
)

// ErrHeld is the error of Try for a file that another process has locked.
var ErrHeld = errors.New("held by another program")

// Lock waits until no other process has the file; it calls waits before.
func Lock(f *os.File, waits func()) error {
	if err := Try(f); !errors.Is(err, ErrHeld) {
		return err
	}
	waits()
	return lock(f)
}
