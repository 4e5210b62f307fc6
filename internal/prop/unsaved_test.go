package prop

import (
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func changedText(t *testing.T, pixels int) string {
	t.Helper()
	_, d, err := Parse([]byte(DemoFile("porthole")), "porthole.toml")
	require.NoError(t, err)
	require.NoError(t, d.SetPixels(0, pixels))
	return d.Text()
}

func TestUnsavedWaitsBesideTheFile(t *testing.T) {
	path, _ := tempProp(t)
	require.Nil(t, FindUnsaved(path, ""))
	file, err := KeepUnsaved(path, "", changedText(t, 35))
	require.NoError(t, err)
	assert.Equal(t, path+".unsaved", file)
	assert.Equal(t, DemoFile("porthole"), onDisk(t, path), "the file itself stays as it is")
	u := FindUnsaved(path, "")
	require.NotNil(t, u)
	assert.Equal(t, file, u.File)
	assert.Equal(t, path, u.Path)
	assert.Equal(t, changedText(t, 35), u.Doc.Text())
	assert.Equal(t, DemoFile("porthole"), u.Base)
	assert.WithinDuration(t, time.Now(), u.At, time.Minute)
	props, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*.toml"))
	require.NoError(t, err)
	assert.Len(t, props, 1, "a folder of props has not gained one")
}

func TestAnEarlierUnsavedStays(t *testing.T) {
	path, _ := tempProp(t)
	first, err := KeepUnsaved(path, "", changedText(t, 35))
	require.NoError(t, err)
	again, err := KeepUnsaved(path, "", changedText(t, 35))
	require.NoError(t, err)
	assert.Equal(t, first, again, "the same text waits once")
	old := time.Now().Add(-time.Hour)
	require.NoError(t, os.Chtimes(first, old, old))
	second, err := KeepUnsaved(path, "", changedText(t, 34))
	require.NoError(t, err)
	assert.NotEqual(t, first, second)
	assert.Equal(t, changedText(t, 35), onDisk(t, first))
	assert.Equal(t, second, FindUnsaved(path, "").File, "the newest is offered")
	require.NoError(t, os.Remove(second))
	assert.Equal(t, first, FindUnsaved(path, "").File)
}

// Two that end in the same moment, as when the machine is turned off, do not
// write over each other.
func TestUnsavedOfTwoAtOnce(t *testing.T) {
	path, _ := tempProp(t)
	var all sync.WaitGroup
	for n := 10; n < 20; n++ {
		text := changedText(t, n)
		all.Go(func() {
			_, err := KeepUnsaved(path, "", text)
			assert.NoError(t, err)
		})
	}
	all.Wait()
	kept := map[string]bool{}
	files, err := filepath.Glob(path + ".unsaved*")
	require.NoError(t, err)
	for _, f := range files {
		kept[onDisk(t, f)] = true
	}
	assert.Len(t, kept, 10)
}

func TestUnsavedWhereTheFolderCannotBeWritten(t *testing.T) {
	spare := filepath.Join(t.TempDir(), "settings")
	gone := filepath.Join(t.TempDir(), "a file", "porthole.toml")
	require.NoError(t, os.WriteFile(filepath.Dir(gone), nil, 0o644)) // no folder can be made there
	file, err := KeepUnsaved(gone, spare, changedText(t, 35))
	require.NoError(t, err)
	assert.Equal(t, spare, filepath.Dir(file))
	u := FindUnsaved(gone, spare)
	require.NotNil(t, u)
	assert.Equal(t, file, u.File)
	assert.Nil(t, FindUnsaved(filepath.Join(t.TempDir(), "porthole.toml"), spare), "another file of that name")
	_, err = KeepUnsaved(gone, "", changedText(t, 35))
	assert.ErrorContains(t, err, "what was not saved is lost: ")
}

func TestUnsavedWithoutAFile(t *testing.T) {
	spare := t.TempDir()
	_, err := KeepUnsaved("", "", "name = \"x\"")
	assert.EqualError(t, err, "what was not saved is lost: there is no folder to keep it in")
	file, err := KeepUnsaved("", spare, changedText(t, 35))
	require.NoError(t, err)
	assert.Equal(t, filepath.Join(spare, "strip.toml.unsaved"), file)
	u := FindUnsaved("", spare)
	require.NotNil(t, u)
	assert.Empty(t, u.Path)
	assert.Empty(t, u.Base)
}

func TestUnsavedThatWasSavedSinceGoes(t *testing.T) {
	path, _ := tempProp(t)
	file, err := KeepUnsaved(path, "", changedText(t, 35))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, []byte(changedText(t, 35)), 0o644))
	assert.Nil(t, FindUnsaved(path, ""))
	assert.NoFileExists(t, file)
	require.NoError(t, os.WriteFile(file, []byte("not ours"), 0o644))
	assert.Nil(t, FindUnsaved(path, ""))
	assert.FileExists(t, file, "what is not ours is left alone")
}
