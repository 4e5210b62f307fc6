//go:build !windows

package prop

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// keepOwner gives the new file the old one's owner where the process may do so, such as
// root. Otherwise the process owns it.
func keepOwner(f *os.File, old fs.FileInfo) {
	if old == nil {
		return
	}
	if st, ok := old.Sys().(*syscall.Stat_t); ok {
		f.Chown(int(st.Uid), int(st.Gid))
	}
}

func isReadOnly(err error) bool { return errors.Is(err, syscall.EROFS) }

func isFull(err error) bool { return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) }

// SyncFolder flushes a folder to disk, so that the name of a new or renamed file
// in it survives a power cut (fsync(2)).
func SyncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
