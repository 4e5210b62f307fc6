//go:build unix

package record

import "os"

// syncFolder puts a new file's name on disk.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
