//go:build unix

package exits

import (
	"os"

	"golang.org/x/sys/unix"
)

// watchReader calls end when the reader of a pipe or socket closes its end. A
// command that waits for an answer with the prop lit may not write for a long
// time, so a failed write would be too late. Other files are not watched.
func watchReader(f *os.File, end func()) {
	st, err := f.Stat()
	if err != nil || st.Mode()&(os.ModeNamedPipe|os.ModeSocket) == 0 {
		return
	}
	raw, err := f.SyscallConn()
	if err != nil {
		return
	}
	go raw.Control(func(fd uintptr) { // Control keeps the file open while it runs
		list := []unix.PollFd{{Fd: int32(fd)}}
		for {
			_, err := unix.Poll(list, -1)
			if err == unix.EINTR {
				continue
			}
			if err == nil && list[0].Revents&(unix.POLLERR|unix.POLLHUP) != 0 {
				end()
			}
			return
		}
	})
}
