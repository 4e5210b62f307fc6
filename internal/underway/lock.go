package underway

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"example.org/ringout/internal/filelock"
)

// A BusyError says that another process is checking the prop.
type BusyError struct {
	Prop  string
	First string // the process that holds it, as it wrote: "process 4711, since 19:04"
}

func (e *BusyError) Error() string {
	first := e.First
	if first == "" {
		first = "another ringout"
	}
	return fmt.Sprintf("%s is being checked already, by %s: end that one first, or check another prop", e.Prop, first)
}

// A claim is a lock file held by this process.
type claim struct {
	file *os.File
	path string
}

// ownClaims lists the claims of this process, for ReleaseAll on exit.
var ownClaims struct {
	mu  sync.Mutex
	all map[*claim]bool
}

// ReleaseAll releases every prop that this process is checking.
func ReleaseAll() {
	ownClaims.mu.Lock()
	all := ownClaims.all
	ownClaims.all = nil
	ownClaims.mu.Unlock()
	for c := range all {
		c.removeAndClose()
	}
}

// acquire claims a prop by its lock file. A *BusyError names the holder. A file left by a
// killed process does no harm: the system has released its lock.
func acquire(path, prop string, now time.Time) (*claim, error) {
	for {
		f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
		if err != nil {
			return nil, err
		}
		if err := filelock.Try(f); err != nil {
			first, _ := io.ReadAll(io.LimitReader(f, 200))
			f.Close()
			if errors.Is(err, filelock.ErrHeld) {
				return nil, &BusyError{prop, strings.TrimSpace(string(first))}
			}
			return nil, err
		}
		if !sameFile(f, path) { // its holder removed it after we opened it and before we locked it
			f.Close()
			continue
		}
		c := &claim{f, path}
		if err := c.writeHolder(now); err != nil {
			c.removeAndClose()
			return nil, err
		}
		ownClaims.mu.Lock()
		defer ownClaims.mu.Unlock()
		if ownClaims.all == nil {
			ownClaims.all = map[*claim]bool{}
		}
		ownClaims.all[c] = true
		return c, nil
	}
}

// sameFile reports whether path still names the open file.
func sameFile(f *os.File, path string) bool {
	a, errA := f.Stat()
	b, errB := os.Stat(path)
	return errA == nil && errB == nil && os.SameFile(a, b)
}

// writeHolder writes the holder into the lock file.
func (c *claim) writeHolder(now time.Time) error {
	if err := c.file.Truncate(0); err != nil {
		return err
	}
	_, err := c.file.WriteAt([]byte(fmt.Sprintf("process %d, since %s\n", os.Getpid(), now.Format("2 January 15:04"))), 0)
	return err
}

// release releases the prop. It does nothing on a nil claim.
func (c *claim) release() {
	if c == nil {
		return
	}
	ownClaims.mu.Lock()
	mine := ownClaims.all[c]
	delete(ownClaims.all, c)
	ownClaims.mu.Unlock()
	if mine {
		c.removeAndClose()
	}
}

// removeAndClose removes the file and closes it, in the order that the system allows.
func (c *claim) removeAndClose() {
	if err := os.Remove(c.path); err == nil || errors.Is(err, fs.ErrNotExist) {
		c.file.Close()
		return
	}
	c.file.Close() // Windows cannot remove an open file
	os.Remove(c.path)
}

// lockPath is the lock file for a file of unfinished checks.
func lockPath(kept string) string {
	return strings.TrimSuffix(kept, filepath.Ext(kept)) + ".lock"
}
