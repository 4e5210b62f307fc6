package settings

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSourceNameStays(t *testing.T) {
	f := Folder(filepath.Join(t.TempDir(), "new"))
	name, err := f.SourceName()
	require.NoError(t, err)
	assert.Equal(t, "ringout bench", name, "until another is given")
	require.NoError(t, f.KeepSourceName("Schöne Laterne 灯"))
	name, err = f.SourceName()
	require.NoError(t, err)
	assert.Equal(t, "Schöne Laterne 灯", name)
	require.ErrorContains(t, f.KeepSourceName(strings.Repeat("灯", 22)), "has 66 bytes and at most 63 fit")
	name, err = f.SourceName()
	require.NoError(t, err)
	assert.Equal(t, "Schöne Laterne 灯", name, "what is refused changes nothing")
}

func TestSourceNameSpoiltFileIsTold(t *testing.T) {
	f := Folder(t.TempDir())
	file := filepath.Join(string(f), "source-name")
	for _, text := range []string{strings.Repeat("x", 64), "\n", "a\xff", "a\x1b[2J"} {
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		name, err := f.SourceName()
		require.ErrorContains(t, err, file+": ")
		require.ErrorContains(t, err, "or remove the file")
		assert.Equal(t, DefaultName, name)
	}
	require.NoError(t, os.WriteFile(file, []byte("by hand\r\n"), 0o644))
	name, err := f.SourceName()
	require.NoError(t, err)
	assert.Equal(t, "by hand", name)
}
