//go:build unix

package cli

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
)

// Every command that reads a file refuses, before reading, one that is too long or no
// regular file.
func TestFilesThatAreNone(t *testing.T) {
	dir := t.TempDir()
	fifo, long := filepath.Join(dir, "fifo.toml"), filepath.Join(dir, "long.toml")
	require.NoError(t, unix.Mkfifo(fifo, 0o600))
	require.NoError(t, os.WriteFile(long, nil, 0o600))
	require.NoError(t, os.Truncate(long, 1<<40)) // a sparse file: no disk space, but more than the memory
	for path, want := range map[string]string{
		fifo:        fifo + " is a pipe that nothing was written into",
		long:        long + " is larger than 1 MB",
		"/dev/zero": "/dev/zero is a device or a socket, not a file",
		dir:         dir + " is a folder",
	} {
		for _, args := range [][]string{{"plan", path}, {path}, {"send", "even", "--file", path}, {"record", path}, {"sheet", path}, {"check", path, "--plain"}, {"strip", path, "--json"}} {
			if args[0] == "check" && path == dir {
				continue // a folder is valid here
			}
			code, _, errs := command(t, "", args...)
			assert.Equal(t, 1, code, "%v", args)
			assert.Contains(t, errs, want, "%v", args)
		}
	}
}

// A pipe from a shell, as <(command), is read once.
func TestPlanOfAPipe(t *testing.T) {
	file := porthole(t)
	out, err := exec.Command("bash", "-c", program(t)+" plan <(cat "+file+") --csv").CombinedOutput()
	require.NoError(t, err, string(out))
	_, want, _ := command(t, "", "plan", file, "--csv")
	assert.Equal(t, want, string(out))
}

// waits runs the program until it prints what it waits for, then ends it by a signal.
func waits(t *testing.T, want string, s syscall.Signal, args ...string) {
	t.Helper()
	c := exec.Command(program(t), args...)
	var errs drawnText
	c.Stderr = &errs
	require.NoError(t, c.Start())
	require.Eventually(t, func() bool { return strings.Contains(errs.String(), want) }, 10*time.Second, 5*time.Millisecond)
	done := make(chan error, 1)
	go func() { done <- c.Wait() }()
	require.NoError(t, c.Process.Signal(s))
	select {
	case <-done:
	case <-time.After(10 * time.Second):
		c.Process.Kill()
		t.Errorf("%v does not end by %v", args, s)
	}
	assert.Contains(t, errs.String(), "stopped before the end")
}

// The program says what it waits for, and the signals that end a program end the wait.
func TestWaitingIsSaidAndEnds(t *testing.T) {
	file := porthole(t)
	fifo := filepath.Join(t.TempDir(), "fifo.toml")
	require.NoError(t, unix.Mkfifo(fifo, 0o600))
	silent, err := os.OpenFile(fifo, os.O_RDWR, 0) // a writer that writes nothing
	require.NoError(t, err)
	defer silent.Close()
	held, err := os.OpenFile(record.Beside(file).Path, os.O_RDWR|os.O_CREATE, 0o600)
	require.NoError(t, err)
	defer held.Close()
	require.NoError(t, unix.Flock(int(held.Fd()), unix.LOCK_EX))
	for _, s := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP} {
		waits(t, "waiting for what is written into "+fifo, s, "plan", fifo)
		waits(t, "waiting for "+record.Beside(file).Path+", which another program holds", s, "record", file, "--note", "x")
	}
	text, err := os.ReadFile(record.Beside(file).Path)
	require.NoError(t, err)
	assert.Empty(t, text)
	_, _, err = prop.Load(file)
	require.NoError(t, err)
}

// A large file that takes long to read is not reported as a wait for a writer.
func TestNobodyWritesAPlainFile(t *testing.T) {
	fifo := filepath.Join(t.TempDir(), "fifo.toml")
	require.NoError(t, unix.Mkfifo(fifo, 0o600))
	assert.False(t, regular(fifo))
	assert.False(t, regular("/dev/stdin.none"))
	file := porthole(t)
	assert.True(t, regular(file))
	link := filepath.Join(t.TempDir(), "link.toml")
	require.NoError(t, os.Symlink(file, link))
	assert.True(t, regular(link))
}
