// Package program gives tests the program as its users build it. It is built
// once for a test binary, or once for all of them by who runs them: then
// RINGOUT_PROGRAM is its path, and its file is named as users have it.
package program

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
)

// Run is for TestMain: it runs the tests in a folder of their own, which Path
// builds into and which is gone afterwards.
func Run(m *testing.M, before func(folder string)) {
	var err error
	if folder, err = os.MkdirTemp("", "ringout-test"); err != nil {
		panic(err)
	}
	before(folder)
	code := m.Run()
	_ = os.RemoveAll(folder) // what stays is in the system's own place for it
	os.Exit(code)
}

var folder string

// Path is the program's.
func Path(t testing.TB) string {
	t.Helper()
	path, err := built()
	if err != nil {
		t.Fatal(err)
	}
	return path
}

var built = sync.OnceValues(func() (string, error) {
	if path := os.Getenv("RINGOUT_PROGRAM"); path != "" {
		return path, nil
	}
	path := filepath.Join(folder, "ringout")
	if runtime.GOOS == "windows" {
		path += ".exe"
	}
	c := exec.Command("go", "build", "-o", path, "example.org/ringout/cmd/ringout")
	c.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := c.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w\n%s", err, out)
	}
	return path, nil
})
