//go:build !windows

package prop

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// keepOwner gives the new file the old one's owner, when someone who may, such
// as root, writes another's file. Those who may not become its owner.
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
