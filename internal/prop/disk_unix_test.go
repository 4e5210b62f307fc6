//go:build unix

package prop

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A folder that is not there can't be flushed to disk, and one that is can.
func TestFolderOnDisk(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, SyncFolder(dir))
	require.Error(t, SyncFolder(filepath.Join(dir, "gone")))
}
