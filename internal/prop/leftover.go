package prop

import (
	"os"
	"path/filepath"
	"strings"
	"time"
)

// partEnd is the suffix of a file being written: ".NAME.DIGITS.part" until it is
// renamed to NAME.
const partEnd = ".part"

// leftoverAge is the age at which such a file counts as left by a killed save; a save
// takes far less.
const leftoverAge = time.Minute

// removeLeftovers deletes what killed saves of this file left beside it. One that
// cannot be deleted does no harm.
func removeLeftovers(path string) {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	dir := filepath.Dir(path)
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		if !isPart(e.Name(), filepath.Base(path)) || !e.Type().IsRegular() {
			continue
		}
		if st, err := e.Info(); err == nil && time.Since(st.ModTime()) > leftoverAge {
			os.Remove(filepath.Join(dir, e.Name()))
		}
	}
}

// isPart reports whether name is that of a half-written file base.
func isPart(name, base string) bool {
	digits, ok := strings.CutPrefix(name, "."+base+".")
	if !ok {
		return false
	}
	digits, ok = strings.CutSuffix(digits, partEnd)
	return ok && digits != "" && strings.Trim(digits, "0123456789") == ""
}
