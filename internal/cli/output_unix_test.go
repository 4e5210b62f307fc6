//go:build unix

package cli

import (
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// brokenAfter is an output that fails after a number of writes.
type brokenAfter struct {
	left int
	err  error
}

func (b *brokenAfter) Write(p []byte) (int, error) {
	if b.left--; b.left < 0 {
		return 0, b.err
	}
	return len(p), nil
}

// A failed write ends every command with exit code 1 and one sentence.
func TestOutputThatCannotBeWritten(t *testing.T) {
	file := porthole(t)
	for _, args := range [][]string{
		{"plan", file}, {"plan", file, "--json"}, {"plan", file, "--csv"},
		{"record", file}, {"record", file, "--json"}, {"record", file, "--note", "seen"},
		{"sheet", file, "--csv"}, {"sheet", file, "--out", "-"}, {"sheet", file, "--labels"}, {"sheet", file, "--markdown", "--out", "-"},
		{"listen", "--bind", "127.0.0.1", "--port", "47113", "--for", "50ms", "--json"}, {"listen", "--bind", "127.0.0.1", "--port", "47113", "--for", "50ms"},
		{"--help"}, {"--version"}, {"send", "--help"}, {"completion", "bash"},
	} {
		var errs strings.Builder
		code := run(context.Background(), args, streams{strings.NewReader(""), &brokenAfter{err: syscall.ENOSPC}, &errs})
		assert.Equal(t, 1, code, "%v", args)
		assert.Contains(t, errs.String(), "ringout: the output can't be written: no space left on device\n", "%v", args)
	}
	assert.Contains(t, plainText(t, file), "seen", "the note is in the record all the same")
}

func plainText(t *testing.T, file string) string {
	t.Helper()
	_, out, _ := command(t, "", "record", file)
	return out
}

// A command with the prop lit also ends, with the prop dark, after a failed write.
func TestOutputThatFailsWhileLit(t *testing.T) {
	w := tap(t)
	file := fileAt(t, "porthole", w)
	hold, _ := io.Pipe() // answers that never come
	for why, args := range map[error][]string{
		syscall.ENOSPC:       {"send", "even", "--file", file, "--json"},
		syscall.EPIPE:        {"check", file, "--json"},
		errors.New("broken"): {"check", file, "--plain"},
		syscall.EIO:          {"check", file, "--flex"},
	} {
		var errs strings.Builder
		code := run(context.Background(), args, streams{hold, &brokenAfter{left: 1, err: why}, &errs})
		assert.Equal(t, 1, code, "%v: %s", args, errs.String())
	}
	assert.Empty(t, lit(w.end()))
}

// A dump after a crash signal comes when GOTRACEBACK asks for it, and then all
// is dark.
func TestDumpWhenWanted(t *testing.T) {
	for _, wanted := range []bool{false, true} {
		w := tap(t)
		c := exec.Command(program(t), "send", "even", "--file", fileAt(t, "porthole", w))
		c.Env = append(os.Environ(), "GOTRACEBACK=")
		if wanted {
			c.Env = append(c.Env, "GOTRACEBACK=all")
		}
		var errs strings.Builder
		c.Stderr = &errs
		require.NoError(t, c.Start())
		require.Eventually(t, func() bool { return w.count() > 0 }, 10*time.Second, 5*time.Millisecond)
		require.NoError(t, c.Process.Signal(syscall.SIGQUIT))
		require.Error(t, c.Wait())
		assert.Equal(t, 128+3, c.ProcessState.ExitCode())
		assert.Equal(t, wanted, strings.Contains(errs.String(), "goroutine 1 "))
		assert.Empty(t, lit(w.end()))
	}
}
