package filelock

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// place is the locked octet, past the end of any file of ours: Windows lets no
// other process read a locked range, and readers need not wait.
func place() *windows.Overlapped { return &windows.Overlapped{OffsetHigh: 0x7fffffff} }

// Try locks the file without waiting; the error is ErrHeld when another has it.
func Try(f *os.File) error {
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, place())
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) || errors.Is(err, windows.ERROR_IO_PENDING) {
		return ErrHeld
	}
	return err
}

func lock(f *os.File) error {
	return windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK, 0, 1, 0, place())
}

// Unlock gives a locked file free.
func Unlock(f *os.File) { _ = windows.UnlockFileEx(windows.Handle(f.Fd()), 0, 1, 0, place()) }
