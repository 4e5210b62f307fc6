package prop

import (
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A pipe is read to its end, however long its writer takes; one that nothing is
// written into, a folder and a device are refused, and nothing waits for them.
func TestPipesFoldersAndDevices(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pipe")
	require.NoError(t, syscall.Mkfifo(path, 0o600))
	_, err := ReadFile(path, 100)
	assert.ErrorIs(t, err, fs.ErrInvalid)
	assert.ErrorContains(t, err, "is a pipe that nothing was written into")
	w, err := os.OpenFile(path, os.O_RDWR, 0) // both ends, so that opening does not wait
	require.NoError(t, err)
	defer w.Close()
	_, err = w.WriteString("name = \"T\"\n")
	require.NoError(t, err)
	got := make(chan string, 1)
	go func() {
		text, err := ReadFile(path, 100)
		assert.NoError(t, err)
		got <- string(text)
	}()
	time.Sleep(20 * time.Millisecond)
	w.Close()
	assert.Equal(t, "name = \"T\"\n", <-got)
	_, err = ReadFile(os.DevNull, 100)
	assert.ErrorContains(t, err, "is a device or a socket, not a file")
	_, err = ReadFile(t.TempDir(), 100)
	assert.ErrorContains(t, err, "is a folder: name a file in it")
	_, err = readRegular(path)
	assert.ErrorContains(t, err, "is not a file")
}
