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

// A BusyError says that another process checks the prop.
type BusyError struct {
	Prop  string
	First string // who holds it, as it wrote: "process 4711, since 19:04"
}

func (e *BusyError) Error() string {
	first := e.First
	if first == "" {
		first = "another ringout"
	}
	return fmt.Sprintf("%s is being checked already, by %s: end that one first, or check another prop", e.Prop, first)
}

// A claim is a lock file that this process holds.
type claim struct {
	file *os.File
	path string
}

// claimed are those that the process holds, so that leaving lets go of all.
var claimed struct {
	mu  sync.Mutex
	all map[*claim]bool
}

// ReleaseAll lets go of every prop that this process checks.
func ReleaseAll() {
	claimed.mu.Lock()
	all := claimed.all
	claimed.all = nil
	claimed.mu.Unlock()
	for c := range all {
		c.drop()
	}
}

// take claims a prop by its lock file. A *BusyError names who has it. A file
// that a killed process left behind is no obstacle: the system has let go of it.
func take(path, prop string, now time.Time) (*claim, error) {
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
		if !still(f, path) { // its holder removed it between our opening and our locking
			f.Close()
			continue
		}
		c := &claim{f, path}
		if err := c.sign(now); err != nil {
			c.drop()
			return nil, err
		}
		claimed.mu.Lock()
		defer claimed.mu.Unlock()
		if claimed.all == nil {
			claimed.all = map[*claim]bool{}
		}
		claimed.all[c] = true
		return c, nil
	}
}

// still reports whether the open file is the one that lies at path.
func still(f *os.File, path string) bool {
	a, errA := f.Stat()
	b, errB := os.Stat(path)
	return errA == nil && errB == nil && os.SameFile(a, b)
}

// sign writes who holds the prop.
func (c *claim) sign(now time.Time) error {
	if err := c.file.Truncate(0); err != nil {
		return err
	}
	_, err := c.file.WriteAt([]byte(fmt.Sprintf("process %d, since %s\n", os.Getpid(), now.Format("2 January 15:04"))), 0)
	return err
}

// release lets go of the prop. A nil claim is none.
func (c *claim) release() {
	if c == nil {
		return
	}
	claimed.mu.Lock()
	mine := claimed.all[c]
	delete(claimed.all, c)
	claimed.mu.Unlock()
	if mine {
		c.drop()
	}
}

// drop removes the file and closes it, in the order that the system allows.
func (c *claim) drop() {
	if err := os.Remove(c.path); err == nil || errors.Is(err, fs.ErrNotExist) {
		c.file.Close()
		return
	}
	c.file.Close() // an open file can't be removed on Windows
	os.Remove(c.path)
}

// lockPath is the lock file of a file of unfinished check-outs.
func lockPath(kept string) string {
	return strings.TrimSuffix(kept, filepath.Ext(kept)) + ".lock"
}
