package underway

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
)

// Options are what a desk is made of.
type Options struct {
	Prop    *prop.Prop
	Path    string           // of the prop file; empty for none
	Folder  string           // keeps what is unfinished of a prop without a file; empty keeps it in memory
	Version string           // of the program, for the record
	Now     func() time.Time // nil is time.Now
}

// A Desk is one prop with its files. Its methods may be called from any
// goroutine; all but a few wait for the disk.
type Desk struct {
	opt  Options
	file string // of what is unfinished; empty for memory only

	mu     sync.Mutex
	list   []record.UnfinishedCheck // as last read or written
	read   bool
	newest map[key]int // number of the last save of each
	claim  *claim
	failed error // why the newest answers are not on disk; nil when they are
}

// A key distinguishes what can be unfinished side by side.
type key struct {
	run            string
	alone, inPlace bool
	test           single.Kind
}

func keyOf(u record.UnfinishedCheck) key { return key{u.Run, u.Alone, u.InPlace, u.Test} }

// NewDesk makes the desk of a prop. It touches no file.
func NewDesk(o Options) *Desk {
	if o.Now == nil {
		o.Now = time.Now
	}
	d := &Desk{opt: o, newest: map[key]int{}}
	switch {
	case o.Path != "":
		d.file = record.UnfinishedBeside(o.Path)
	case o.Folder != "":
		d.file = filepath.Join(o.Folder, FileName(o.Prop.Name)+".check.json")
	}
	return d
}

// FileName is a name in letters, digits and dashes.
func FileName(name string) string {
	clean := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, name)
	if clean = strings.Trim(clean, "-"); clean == "" {
		return "strip"
	}
	return clean
}

// Prop is the prop of the desk.
func (d *Desk) Prop() *prop.Prop { return d.opt.Prop }

// Path is the prop file; empty for none.
func (d *Desk) Path() string { return d.opt.Path }

// File is where what is unfinished lies; empty when it is kept in memory only.
func (d *Desk) File() string { return d.file }

// Text is the prop file as it is now, for the record; empty when it is gone.
func (d *Desk) Text() string {
	if d.opt.Path == "" {
		return ""
	}
	text, _ := os.ReadFile(d.opt.Path) // an entry does without it
	return string(text)
}

// Claim keeps other processes from checking the prop until Release. A
// *BusyError names who checks it now. Where no lock can be made, as in a folder
// that can't be written, there is none.
func (d *Desk) Claim() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.claim != nil || d.file == "" {
		return nil
	}
	if d.opt.Path == "" {
		_ = os.MkdirAll(filepath.Dir(d.file), 0o755) // saving says why it can't be
	}
	c, err := take(lockPath(d.file), d.opt.Prop.Name, d.opt.Now())
	var busy *BusyError
	if errors.As(err, &busy) {
		return busy
	}
	d.claim = c
	return nil
}

// Release lets go of the prop.
func (d *Desk) Release() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.claim.release()
	d.claim = nil
}

// Kept reads what is unfinished, oldest first.
func (d *Desk) Kept() ([]record.UnfinishedCheck, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	err := d.load()
	return slices.Clone(d.list), err
}

// load reads the file. The caller holds mu.
func (d *Desk) load() error {
	if d.file == "" {
		return nil
	}
	list, err := record.ReadUnfinished(d.file)
	if err == nil {
		d.list, d.read = list, true
	}
	return err
}

// Find is what is kept of a part and a test; false when nothing is.
func (d *Desk) Find(pt Part, test single.Kind) (record.UnfinishedCheck, bool, error) {
	list, err := d.Kept()
	want := record.UnfinishedCheck{Test: test}
	pt.mark(&want)
	if i := slices.IndexFunc(list, want.Same); i >= 0 {
		return list[i], true, err
	}
	return want, false, err
}

// Save keeps something unfinished in the place of what was kept of the same
// part and test. number grows from save to save: one that comes late is dropped.
func (d *Desk) Save(number int, u record.UnfinishedCheck) error {
	return d.change(number, u, func(list []record.UnfinishedCheck) []record.UnfinishedCheck {
		if i := slices.IndexFunc(list, u.Same); i >= 0 {
			list[i] = u
			return list
		}
		return append(list, u)
	})
}

// Forget removes what was kept of a part and a test up to that number.
func (d *Desk) Forget(number int, u record.UnfinishedCheck) error {
	return d.change(number+1, u, func(list []record.UnfinishedCheck) []record.UnfinishedCheck {
		return slices.DeleteFunc(list, u.Same)
	})
}

// change writes a changed list.
func (d *Desk) change(number int, u record.UnfinishedCheck, do func([]record.UnfinishedCheck) []record.UnfinishedCheck) (err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if number < d.newest[keyOf(u)] {
		return nil
	}
	d.newest[keyOf(u)] = number
	defer func() { d.failed = err }()
	if err := d.load(); err != nil && !d.read {
		return fmt.Errorf("%w; nothing is written over it", err)
	}
	d.list = do(slices.Clone(d.list))
	if d.file == "" {
		return nil
	}
	if d.opt.Path == "" {
		if err := os.MkdirAll(filepath.Dir(d.file), 0o755); err != nil {
			return err
		}
	}
	return record.WriteUnfinished(d.file, d.list)
}

// PutAside moves what is kept of a part and a test into a file of its own, so
// that another can begin, and says where; empty when nothing was kept.
func (d *Desk) PutAside(number int, u record.UnfinishedCheck) (to string, err error) {
	if u.Answers() == 0 || d.file == "" {
		return "", d.Forget(number, u)
	}
	to = d.asideAt(u.At)
	if err := record.WriteUnfinished(to, []record.UnfinishedCheck{u}); err != nil {
		return "", fmt.Errorf("the unfinished check-out in %s can't be put aside, so no other begins: %w", d.file, err)
	}
	return to, d.Forget(number, u)
}

// asideAt is a name beside the file that is free, with a date in it.
func (d *Desk) asideAt(at time.Time) string {
	name := strings.TrimSuffix(d.file, ".json") + at.Format("-2006-01-02-150405")
	to := name + ".json"
	for n := 2; exists(to); n++ {
		to = fmt.Sprintf("%s-%d.json", name, n)
	}
	return to
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return !errors.Is(err, fs.ErrNotExist)
}

// WhereKept says in a sentence where the answers so far are, as it is now.
func (d *Desk) WhereKept(u record.UnfinishedCheck) string {
	d.mu.Lock()
	failed := d.failed
	d.mu.Unlock()
	switch {
	case u.Answers() == 0:
		return "nothing was answered, so nothing is recorded"
	case d.file == "":
		return "what was answered is kept in memory only"
	case failed != nil:
		return fmt.Sprintf("what was answered is not on disk: %v", failed)
	}
	list, err := record.ReadUnfinished(d.file)
	i := slices.IndexFunc(list, u.Same)
	switch {
	case err != nil:
		return fmt.Sprintf("what was answered is not on disk: %v", err)
	case i < 0 || list[i].Answers() < u.Answers():
		return fmt.Sprintf("what was answered is not on disk: %s is gone", d.file)
	}
	return fmt.Sprintf("what was answered is kept in %s, and the next check takes it up again", d.file)
}

// Record appends entries to a record file; those that did not get there come
// back with the reason. It calls waits before it waits for another program that
// holds the file.
func (d *Desk) Record(f record.File, entries []record.Entry, waits func()) (left []record.Entry, err error) {
	for i, e := range entries {
		if err := f.AppendAfter(e, waits); err != nil {
			return entries[i:], err
		}
	}
	return nil, nil
}

// stamp fills in what every entry has.
func (d *Desk) stamp(e record.Entry, text string) record.Entry {
	e.At, e.Ringout, e.Prop, e.PropFile = d.opt.Now().Truncate(time.Second), d.opt.Version, d.opt.Prop.Name, text
	return e
}
