//go:build unix

package record

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A folder that is not there can't be flushed to disk, and one that is can.
func TestFolderOnDisk(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, syncFolder(dir))
	require.Error(t, syncFolder(filepath.Join(dir, "gone")))
}
