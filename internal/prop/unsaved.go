package prop

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// unsavedEnd is the suffix of a file with unsaved text. It is not .toml, so a folder of
// props does not list it.
const unsavedEnd = ".unsaved"

// mostUnsaved limits the unsaved texts kept for one prop file.
const mostUnsaved = 20

// An UnsavedFile is the text of a prop file that the program kept when it had to end
// without asking.
type UnsavedFile struct {
	File string    // the file with the unsaved text
	Path string    // the prop file it belongs to; empty for none
	At   time.Time // when it was written
	Doc  *Document
	Base string // text of the prop file when it was found; empty when that is gone
}

// KeepUnsaved writes unsaved text to a new file beside the prop file or, if that cannot
// be written or path is empty, in folder. It never overwrites an earlier one. It
// returns the file's name.
func KeepUnsaved(path, folder, text string) (file string, err error) {
	stems := unsavedStems(path, folder)
	if len(stems) == 0 {
		return "", errors.New("what was not saved is lost: there is no folder to keep it in")
	}
	var errs []error
	for _, stem := range stems {
		if file, err = keepAt(stem, text); err == nil {
			return file, nil
		}
		errs = append(errs, err)
	}
	return "", fmt.Errorf("what was not saved is lost: %w", errors.Join(errs...))
}

// unsavedStems lists the file names to try, without a number.
func unsavedStems(path, folder string) (stems []string) {
	name := "strip.toml"
	if path != "" {
		stems = append(stems, path+unsavedEnd)
		if whole, err := filepath.Abs(path); err == nil {
			path = whole
		}
		name = strings.Trim(strings.Map(func(r rune) rune {
			if r == '/' || r == '\\' || r == ':' {
				return '-'
			}
			return r
		}, path), "-")
	}
	if folder != "" {
		stems = append(stems, filepath.Join(folder, name+unsavedEnd))
	}
	return stems
}

func keepAt(stem, text string) (string, error) {
	if err := os.MkdirAll(filepath.Dir(stem), 0o755); err != nil {
		return "", err
	}
	for n := 1; n <= mostUnsaved; n++ {
		name := numbered(stem, n)
		if was, err := readRegular(name); err == nil && string(was) == text {
			return name, nil // the same text is already kept
		}
		f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644) // another ringout may be ending at the same time
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return "", err
		}
		f.Close()
		if err := WriteFile(name, []byte(text)); err != nil {
			os.Remove(name)
			return "", err
		}
		return name, nil
	}
	return "", fmt.Errorf("%d files such as %s wait already: take them up or remove them", mostUnsaved, stem)
}

func numbered(stem string, n int) string {
	if n == 1 {
		return stem
	}
	return fmt.Sprintf("%s-%d", stem, n)
}

// FindUnsaved finds the newest unsaved text for the prop file at path, nil for none.
// One that equals the file is removed.
func FindUnsaved(path, folder string) *UnsavedFile {
	base := ""
	if text, err := readRegular(path); path != "" && err == nil {
		base = string(text)
	}
	var found *UnsavedFile
	for _, file := range unsavedFiles(path, folder) {
		u := readUnsaved(file, path)
		switch {
		case u == nil:
		case path != "" && u.Doc.Text() == base:
			os.Remove(u.File)
		case found == nil || u.At.After(found.At):
			u.Base = base
			found = u
		}
	}
	return found
}

// UnsavedText is the newest unsaved text for a file that is not a prop file; empty for
// none.
func UnsavedText(path, folder string) (file, text string) {
	var at time.Time
	for _, name := range unsavedFiles(path, folder) {
		st, err := os.Stat(name)
		if err != nil || !st.ModTime().After(at) {
			continue
		}
		if t, err := readRegular(name); err == nil && len(t) > 0 {
			file, text, at = name, string(t), st.ModTime()
		}
	}
	return file, text
}

// unsavedFiles lists all names that an unsaved text of a file may have.
func unsavedFiles(path, folder string) (names []string) {
	for _, stem := range unsavedStems(path, folder) {
		for n := 1; n <= mostUnsaved; n++ {
			names = append(names, numbered(stem, n))
		}
	}
	return names
}

// readUnsaved is nil for a missing file or one with syntax errors, which ours never
// have.
func readUnsaved(file, path string) *UnsavedFile {
	st, err := os.Stat(file)
	if err != nil || st.IsDir() {
		return nil
	}
	text, err := readRegular(file)
	if err != nil {
		return nil
	}
	name := path
	if name == "" {
		name = "the prop"
	}
	_, d, err := Parse(text, name)
	if err != nil {
		return nil
	}
	return &UnsavedFile{File: file, Path: path, At: st.ModTime(), Doc: d}
}
