// Package settings keeps what ringout remembers between sessions: its CID, which must
// stay the same for the life of a source (ANSI E1.31-2018 5.6), and the last ad-hoc
// set-up.
package settings

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"example.org/ringout/internal/prop"
)

// A Folder is the settings folder.
type Folder string

// Default is RINGOUT_CONFIG if set, else "ringout" in the user's configuration
// directory.
func Default() (Folder, error) {
	if dir := os.Getenv("RINGOUT_CONFIG"); dir != "" {
		return Folder(dir), nil
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("no folder for settings: %w; set RINGOUT_CONFIG to one", err)
	}
	return Folder(filepath.Join(dir, "ringout")), nil
}

func (f Folder) path(name string) string { return filepath.Join(string(f), name) }

// Read reads one settings file; fs.ErrNotExist if it does not exist.
func (f Folder) Read(name string) ([]byte, error) { return prop.ReadFile(f.path(name), maxFile) }

// maxFile is the largest settings file read, in bytes.
const maxFile = 1 << 20

// Mark reports whether a mark is set: an empty file of that name.
func (f Folder) Mark(name string) bool {
	_, err := os.Stat(f.path(name))
	return err == nil
}

// SetMark sets or clears a mark.
func (f Folder) SetMark(name string, on bool) error {
	if on {
		return f.Write(name, nil)
	}
	if err := os.Remove(f.path(name)); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// Write writes a settings file in one step.
func (f Folder) Write(name string, data []byte) error {
	if err := os.MkdirAll(string(f), 0o755); err != nil {
		return err
	}
	return prop.WriteFile(f.path(name), data)
}
