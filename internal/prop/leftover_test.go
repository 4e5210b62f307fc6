package prop

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// beside puts a file of an age beside another.
func beside(t *testing.T, path, name string, age time.Duration) string {
	t.Helper()
	file := filepath.Join(filepath.Dir(path), name)
	require.NoError(t, os.WriteFile(file, []byte("half"), 0o644))
	at := time.Now().Add(-age)
	require.NoError(t, os.Chtimes(file, at, at))
	return file
}

// What a killed save left goes with the next save or opening of that file; what
// may be under way, or is another's, stays.
func TestLeftoversOfAKilledSaveGo(t *testing.T) {
	for what, use := range map[string]func(path string, d *Document) error{
		"save": func(path string, d *Document) error { return d.Save(path) },
		"open": func(path string, _ *Document) error { _, _, err := Load(path); return err },
	} {
		t.Run(what, func(t *testing.T) {
			path, d := tempProp(t)
			old := beside(t, path, ".porthole.toml.1234567890.part", 2*time.Minute)
			var stay []string
			stay = append(stay, beside(t, path, ".porthole.toml.1234567891.part", 10*time.Second)) // may be under way
			for _, name := range []string{".pennant.toml.1234567890.part", ".porthole.toml.part", ".porthole.toml..part", ".porthole.toml.12a4.part",
				".porthole.toml.1234567890.part~", "porthole.toml.1234567890.part", ".porthole.toml.1.2.part", ".my.porthole.toml.12.part"} {
				stay = append(stay, beside(t, path, name, time.Hour))
			}
			folder := filepath.Join(filepath.Dir(path), ".porthole.toml.77.part")
			require.NoError(t, os.Mkdir(folder, 0o755))
			long := time.Now().Add(-time.Hour)
			require.NoError(t, os.Chtimes(folder, long, long))
			require.NoError(t, use(path, d))
			assert.NoFileExists(t, old)
			for _, f := range stay {
				assert.FileExists(t, f)
			}
			assert.DirExists(t, folder)
			assert.Equal(t, DemoFile("porthole"), onDisk(t, path))
		})
	}
}

// The names are those that saving really gives.
func TestTheNameOfAHalfWrittenFile(t *testing.T) {
	f, err := os.CreateTemp(t.TempDir(), ".porthole.toml.*"+partEnd)
	require.NoError(t, err)
	f.Close()
	assert.True(t, isPart(filepath.Base(f.Name()), "porthole.toml"), f.Name())
}

func TestLeftoversBesideWhereALinkPoints(t *testing.T) {
	path, _ := tempProp(t)
	link := filepath.Join(t.TempDir(), "link.toml")
	if err := os.Symlink(path, link); err != nil {
		t.Skip("this system lets no links be made")
	}
	old := beside(t, path, ".porthole.toml.1.part", time.Hour)
	_, _, err := Load(link)
	require.NoError(t, err)
	assert.NoFileExists(t, old)
}
