//go:build unix

package cli

import (
	"bytes"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// closeable is a terminal that closes while it is read: setting its size made
// reads of the first file block, and a close wait for them.
func closeable(t *testing.T, tty *os.File) *os.File {
	t.Helper()
	fd, err := unix.FcntlInt(tty.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	require.NoError(t, err)
	require.NoError(t, tty.Close())
	require.NoError(t, unix.SetNonblock(fd, true))
	return os.NewFile(uintptr(fd), "terminal")
}

// termios is the state of a terminal. Fd would make reads block, and a close
// wait for them.
func termios(tty *os.File) (state *unix.Termios) {
	if raw, err := tty.SyscallConn(); err == nil {
		raw.Control(func(fd uintptr) { state, _ = unix.IoctlGetTermios(int(fd), termiosOf) })
	}
	return state
}

// freshTermios is the state of a terminal that no program has used.
func freshTermios(t *testing.T) *unix.Termios {
	t.Helper()
	tty, other, err := pty.Open()
	require.NoError(t, err)
	defer other.Close()
	defer tty.Close()
	return termios(tty)
}

// drawnText is what a program has written so far.
type drawnText struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (d *drawnText) Write(b []byte) (int, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.text.Write(b)
}

func (d *drawnText) String() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.text.String()
}

func (d *drawnText) await(text string) {
	for end := time.Now().Add(10 * time.Second); !strings.Contains(d.String(), text) && time.Now().Before(end); {
		time.Sleep(5 * time.Millisecond)
	}
}
