package underway

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// tryLock takes the file without waiting; errHeld when another has it. The lock
// lies far past the file's end, since a locked range can't be read by others.
func tryLock(f *os.File) error {
	place := windows.Overlapped{OffsetHigh: 0x7fffffff}
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &place)
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) || errors.Is(err, windows.ERROR_IO_PENDING) {
		return errHeld
	}
	return err
}
