package prop

import (
	"os"
	"path/filepath"
	"strings"
	"time"
)

// partEnd ends the name of a file that is being written: ".NAME.DIGITS.part"
// until it takes the place of NAME.
const partEnd = ".part"

// leftoverAge is how old such a file must be to be a leftover of a save that
// was killed half-way; a save takes far less.
const leftoverAge = time.Minute

// removeLeftovers takes away what killed saves of this very file left beside
// it. One that cannot be taken away does no harm.
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

// isPart reports whether name is that of a half-written base.
func isPart(name, base string) bool {
	digits, ok := strings.CutPrefix(name, "."+base+".")
	if !ok {
		return false
	}
	digits, ok = strings.CutSuffix(digits, partEnd)
	return ok && digits != "" && strings.Trim(digits, "0123456789") == ""
}
