// Package program gives tests the program as users build it. Each test binary
// builds it once, or uses the one at RINGOUT_PROGRAM if that is set; that file must
// have the name that users see.
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

// Run is for TestMain: it runs the tests with a temporary folder, into which Path
// builds, and removes it afterwards.
func Run(m *testing.M, before func(folder string)) {
	var err error
	if folder, err = os.MkdirTemp("", "ringout-test"); err != nil {
		panic(err)
	}
	before(folder)
	code := m.Run()
	_ = os.RemoveAll(folder) // the system cleans its temporary folder if this fails
	os.Exit(code)
}

var folder string

// Path is the path of the program, which it builds on the first call.
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
