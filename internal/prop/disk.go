package prop

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Load reads the prop file at path. Problems name the file as path does. The document
// is returned even when its text has problems.
func Load(path string) (*Prop, *Document, error) {
	text, err := ReadFile(path, MaxFile)
	if err != nil {
		return nil, nil, loadError(path, err)
	}
	removeLeftovers(path)
	p, d, err := Parse(text, path)
	if d != nil {
		d.onDisk, d.path = d.text, path
	}
	return p, d, err
}

// A reason replaces the text of an error with a sentence for the builder and wraps that
// error.
type reason struct {
	text string
	err  error
}

func (r *reason) Error() string { return r.text }
func (r *reason) Unwrap() error { return r.err }

func because(err error, format string, args ...any) error {
	return &reason{fmt.Sprintf(format, args...), err}
}

func loadError(path string, err error) error {
	var said *reason
	switch {
	case errors.As(err, &said):
		return err
	case errors.Is(err, fs.ErrNotExist):
		return because(err, "there is no file %s: check the name, or write a first one with \"ringout new NAME\"", path)
	case errors.Is(err, fs.ErrPermission):
		return because(err, "%s may not be read: change its permissions", path)
	}
	return fmt.Errorf("%s cannot be opened: %w", path, err)
}

// ErrChanged is wrapped by the error of Save when another program has changed the file
// since it was loaded or saved here.
var ErrChanged = errors.New("changed meanwhile")

// Save writes the document to path in one step: to a file beside the old one, flushed
// to disk, then renamed over it. The old file's permissions stay. It refuses a text
// with problems, and a file that another program changed since it was loaded.
func (d *Document) Save(path string) error {
	if _, _, err := Parse(d.text, d.name); err != nil {
		return err
	}
	if d.ChangedOnDisk(path) {
		return fmt.Errorf("%s was changed by another program since it was opened, so nothing was saved: open it again, or save under another name: %w", path, ErrChanged)
	}
	if err := WriteFile(path, d.text); err != nil {
		return err
	}
	d.onDisk, d.path = d.text, path
	return nil
}

// ChangedOnDisk reports whether the file has changed since the document was loaded from
// it or saved to it. A missing file counts as unchanged, since saving restores it.
func (d *Document) ChangedOnDisk(path string) bool {
	if d.path == "" || filepath.Clean(path) != filepath.Clean(d.path) {
		return false
	}
	now, err := readRegular(path)
	return err == nil && !bytes.Equal(now, d.onDisk) && !bytes.Equal(now, d.text)
}

// WriteFile writes text to path in one step. It follows a link, so the file it points
// to is replaced and not the link.
func WriteFile(path string, text []byte) error {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	mode := fs.FileMode(0o644)
	st, err := os.Stat(path)
	if err == nil && st.IsDir() {
		return fmt.Errorf("%s is a folder, so nothing was saved: give the name of a file in it", path)
	}
	if err == nil {
		if mode = st.Mode().Perm(); mode&0o200 == 0 {
			return fmt.Errorf("%s is read-only, so nothing was saved: change its permissions or save under another name", path)
		}
	}
	if err := writeBeside(path, text, mode, st); err != nil {
		return saveError(path, err)
	}
	removeLeftovers(path)
	return nil
}

// writeBeside writes the new file and renames it over the old one. old is nil when
// there is none.
func writeBeside(path string, text []byte, mode fs.FileMode, old fs.FileInfo) (err error) {
	dir := filepath.Dir(path)
	f, err := os.CreateTemp(dir, "."+filepath.Base(path)+".*"+partEnd)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if _, err = f.Write(text); err != nil {
		return err
	}
	keepOwner(f, old)
	if err = f.Chmod(mode); err != nil {
		return err
	}
	if err = f.Sync(); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	if err = os.Rename(f.Name(), path); err != nil {
		return err
	}
	_ = SyncFolder(dir) // on an error the file is still complete; only a power cut could undo the rename
	return nil
}

func saveError(path string, err error) error {
	dir := filepath.Dir(path)
	switch {
	case errors.Is(err, fs.ErrPermission) || isReadOnly(err):
		return because(err, "the folder %s does not let files be written, so nothing was saved: change its permissions or save in another folder", dir)
	case errors.Is(err, fs.ErrNotExist):
		return because(err, "there is no folder %s, so nothing was saved: make it or save in another", dir)
	case isFull(err):
		return because(err, "the disk is full, so nothing was saved, and what was saved before stands: make room and save again")
	}
	return fmt.Errorf("%s could not be saved, and what was saved before stands: %w", path, err)
}
