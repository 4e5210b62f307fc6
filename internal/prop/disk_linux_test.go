package prop

import (
	"os"
	"os/exec"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// limitFiles makes the system cut off every file of this process at n bytes,
// as a full disk would, until the function returned is called.
func limitFiles(t *testing.T, n uint64) (undo func()) {
	t.Helper()
	var old syscall.Rlimit
	require.NoError(t, syscall.Getrlimit(syscall.RLIMIT_FSIZE, &old))
	require.NoError(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: n, Max: old.Max}))
	return func() { syscall.Setrlimit(syscall.RLIMIT_FSIZE, &old) }
}

// The system stops the write after every possible number of bytes. The good
// file must stand each time, and nothing may be left beside it.
func TestSaveCutShortAtAnyByte(t *testing.T) {
	const child = "RINGOUT_TEST_CUT_SHORT"
	if os.Getenv(child) == "" { // the limit is the whole process's, so another one takes it
		cmd := exec.Command(os.Args[0], "-test.run=^TestSaveCutShortAtAnyByte$", "-test.v")
		cmd.Env = append(os.Environ(), child+"=1")
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, string(out))
		assert.Contains(t, string(out), "--- PASS: TestSaveCutShortAtAnyByte")
		return
	}
	path, d := tempProp(t)
	require.NoError(t, d.SetPixels(0, 35))
	for n := range len(d.Text()) {
		undo := limitFiles(t, uint64(n))
		err := d.Save(path)
		undo()
		require.Error(t, err, "cut at byte %d", n)
		require.Equal(t, DemoFile("porthole"), onDisk(t, path), "cut at byte %d", n)
	}
	onlyFile(t, path)
	undo := limitFiles(t, uint64(len(d.Text())))
	err := d.Save(path)
	undo()
	require.NoError(t, err)
	assert.Equal(t, d.Text(), onDisk(t, path))
}

func TestSaveIntoAFolderOfTheSystem(t *testing.T) {
	const dir = "/sys/kernel"
	if f, err := os.CreateTemp(dir, "probe"); err == nil {
		os.Remove(f.Name())
		t.Skip(dir + " lets files be written here")
	} else if !os.IsPermission(err) {
		t.Skip(dir + " is not what Linux has there")
	}
	_, d := tempProp(t)
	readOnlyFolder(t, d.Save(dir+"/porthole.toml"), dir)
}

func TestFullDisk(t *testing.T) {
	err := saveError("/x/porthole.toml", &os.PathError{Op: "write", Path: "/x/y", Err: syscall.ENOSPC})
	assert.ErrorContains(t, err, "the disk is full, so nothing was saved, and what was saved before stands: make room and save again")
	assert.ErrorIs(t, err, syscall.ENOSPC)
	assert.ErrorContains(t, saveError("/x/porthole.toml", syscall.EROFS), "the folder /x does not let files be written")
}
