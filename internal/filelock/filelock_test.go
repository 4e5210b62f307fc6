package filelock

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// Two descriptors that were opened apart exclude each other as two processes do
// (flock(2); LockFileEx).
func TestOneAtATime(t *testing.T) {
	path := filepath.Join(t.TempDir(), "porthole.lock")
	open := func() *os.File {
		f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
		require.NoError(t, err)
		t.Cleanup(func() { f.Close() })
		return f
	}
	one, two := open(), open()
	require.NoError(t, Lock(one, func() { t.Fatal("it is free") }))
	require.ErrorIs(t, Try(two), ErrHeld)
	require.NoError(t, Lock(two, func() { Unlock(one) }), "it gets the file once it is free")
	require.ErrorIs(t, Try(one), ErrHeld)
	require.NoError(t, two.Close())
	require.NoError(t, Try(one), "a closed descriptor holds nothing")
}
