package record

import (
	"os"

	"golang.org/x/sys/windows"
)

// The lock lies far past any record's end: a locked range can't be read by
// others on Windows, and readers need not wait.
var lockPlace = windows.Overlapped{OffsetHigh: 0x7fffffff}

// lock waits until no other process holds the file; it calls waits before.
func lock(f *os.File, waits func()) error {
	place := lockPlace
	if windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &place) == nil {
		return nil
	}
	waits()
	return windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK, 0, 1, 0, &place)
}

func unlock(f *os.File) {
	place := lockPlace
	_ = windows.UnlockFileEx(windows.Handle(f.Fd()), 0, 1, 0, &place)
}

// syncFolder has nothing to do: NTFS journals names itself.
func syncFolder(string) error { return nil }
