package prop

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// keepOwner does nothing: the folder's permissions set the owner.
func keepOwner(*os.File, fs.FileInfo) {}

// System error codes of Windows: write protect, handle disk full, disk full.
const (
	errWriteProtect   = syscall.Errno(19)
	errHandleDiskFull = syscall.Errno(39)
	errDiskFull       = syscall.Errno(112)
)

func isReadOnly(err error) bool { return errors.Is(err, errWriteProtect) }

func isFull(err error) bool {
	return errors.Is(err, errHandleDiskFull) || errors.Is(err, errDiskFull)
}

// SyncFolder does nothing: NTFS keeps names in its journal.
func SyncFolder(string) error { return nil }
