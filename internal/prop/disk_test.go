package prop

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func tempProp(t *testing.T) (path string, d *Document) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "porthole.toml")
	require.NoError(t, os.WriteFile(path, []byte(DemoFile("porthole")), 0o640))
	_, d, err := Load(path)
	require.NoError(t, err)
	return path, d
}

func onDisk(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(text)
}

func onlyFile(t *testing.T, path string) {
	t.Helper()
	all, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	assert.Len(t, all, 1, "nothing may be left beside the file")
}

func TestSaveReplacesAndKeepsPermissions(t *testing.T) {
	path, d := tempProp(t)
	require.NoError(t, d.SetPixels(0, 35))
	require.NoError(t, d.Save(path))
	assert.Equal(t, d.Text(), onDisk(t, path))
	onlyFile(t, path)
	p, _, err := Load(path)
	require.NoError(t, err)
	assert.Equal(t, 35, p.Runs[0].Pixels)
	if runtime.GOOS != "windows" {
		st, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o640), st.Mode().Perm())
	}
}

func TestSaveMakesANewFile(t *testing.T) {
	_, d := tempProp(t)
	path := filepath.Join(t.TempDir(), "new.toml")
	require.NoError(t, d.Save(path))
	assert.Equal(t, d.Text(), onDisk(t, path))
}

func TestSaveFollowsALink(t *testing.T) {
	path, d := tempProp(t)
	link := filepath.Join(t.TempDir(), "link.toml")
	if err := os.Symlink(path, link); err != nil {
		t.Skip("this system lets no links be made")
	}
	require.NoError(t, d.SetPixels(0, 35))
	require.NoError(t, d.Save(link))
	assert.Equal(t, d.Text(), onDisk(t, path))
	st, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, st.Mode()&os.ModeSymlink, "the link itself stays")
}

func TestSaveRefusals(t *testing.T) {
	path, d := tempProp(t)
	require.NoError(t, os.Chmod(path, 0o440))
	require.NoError(t, d.SetPixels(0, 35))
	assert.EqualError(t, d.Save(path), path+" is read-only, so nothing was saved: change its permissions or save under another name")
	assert.Equal(t, DemoFile("porthole"), onDisk(t, path))
	onlyFile(t, path)

	gone := filepath.Join(t.TempDir(), "gone", "x.toml")
	err := d.Save(gone)
	require.ErrorIs(t, err, os.ErrNotExist)
	assert.EqualError(t, err, "there is no folder "+filepath.Dir(gone)+", so nothing was saved: make it or save in another")
	folder := t.TempDir()
	assert.EqualError(t, WriteFile(folder, nil), folder+" is a folder, so nothing was saved: give the name of a file in it")
}

func TestSaveIntoAReadOnlyFolder(t *testing.T) {
	path, d := tempProp(t)
	dir := filepath.Dir(path)
	require.NoError(t, os.Chmod(dir, 0o500))
	t.Cleanup(func() { os.Chmod(dir, 0o700) })
	if f, err := os.Create(filepath.Join(dir, "probe")); err == nil {
		f.Close()
		os.Remove(f.Name())
		t.Skip("this user may write anywhere; another test takes a folder the system keeps read-only")
	}
	require.NoError(t, d.SetPixels(0, 35))
	readOnlyFolder(t, d.Save(path), dir)
	assert.Equal(t, DemoFile("porthole"), onDisk(t, path))
}

func readOnlyFolder(t *testing.T, err error, dir string) {
	t.Helper()
	require.Error(t, err)
	want := "the folder " + dir + " does not let files be written, so nothing was saved: change its permissions or save in another folder"
	assert.EqualError(t, err, want)
}

func TestSaveDoesNotWriteOverAnothersChange(t *testing.T) {
	path, d := tempProp(t)
	require.NoError(t, d.SetPixels(0, 35))
	require.NoError(t, d.Save(path))
	require.NoError(t, d.SetPixels(0, 34))
	assert.False(t, d.ChangedOnDisk(path), "our own save is no change")
	theirs := onDisk(t, path) + "# by hand\n"
	require.NoError(t, os.WriteFile(path, []byte(theirs), 0o640))
	assert.True(t, d.ChangedOnDisk(path))
	err := d.Save(path)
	require.ErrorIs(t, err, ErrChanged)
	assert.ErrorContains(t, err, path+" was changed by another program since it was opened, so nothing was saved: open it again, or save under another name")
	assert.Equal(t, theirs, onDisk(t, path))
	assert.NoError(t, d.Save(path+".mine"))
	require.NoError(t, os.Remove(path))
	assert.NoError(t, d.Save(path), "a file that is gone is brought back")
}

func TestADocumentWithProblemsIsNotSaved(t *testing.T) {
	path, _ := tempProp(t)
	_, bad, err := Parse([]byte("name = 3"), "porthole.toml")
	require.Error(t, err)
	var ps Problems
	assert.ErrorAs(t, bad.Save(path), &ps)
	assert.Equal(t, DemoFile("porthole"), onDisk(t, path))
}

func TestLoadRefusals(t *testing.T) {
	dir := t.TempDir()
	_, _, err := Load(filepath.Join(dir, "none.toml"))
	require.ErrorIs(t, err, os.ErrNotExist)
	assert.EqualError(t, err, "there is no file "+filepath.Join(dir, "none.toml")+`: check the name, or write a first one with "ringout new NAME"`, "one sentence, the system's words left out")
	_, _, err = Load(dir)
	assert.EqualError(t, err, dir+" is a folder: name a file in it")
	big := filepath.Join(dir, "big.toml")
	require.NoError(t, os.WriteFile(big, make([]byte, 5<<20), 0o600))
	_, _, err = Load(big)
	assert.EqualError(t, err, big+" is larger than 1 MB, the most that is read of such a file: check that it is the right one")
}

// A file that can't take the place of the old one is not called saved, and is not left.
func TestAPlaceThatCantBeTaken(t *testing.T) {
	path := filepath.Join(t.TempDir(), "porthole.toml")
	require.NoError(t, os.MkdirAll(filepath.Join(path, "something in it"), 0o755))
	require.Error(t, writeBeside(path, []byte("text"), 0o644, nil))
	onlyFile(t, path)
}
