//go:build unix

package exits

import (
	"os"

	"golang.org/x/sys/unix"
)

// watchReader calls end once the reader of a pipe or socket has closed its end,
// so that a command that waits for an answer with the light on does not have to
// write first to find out. Of a file of another kind it watches nothing.
func watchReader(f *os.File, end func()) {
	st, err := f.Stat()
	if err != nil || st.Mode()&(os.ModeNamedPipe|os.ModeSocket) == 0 {
		return
	}
	raw, err := f.SyscallConn()
	if err != nil {
		return
	}
	go raw.Control(func(fd uintptr) { // holds the file open meanwhile
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
