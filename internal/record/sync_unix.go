//go:build unix

package record

import "os"

// syncFolder flushes the folder, so a new file's name is on disk.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
