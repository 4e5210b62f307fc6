package underway

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"time"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
)

// Options are the inputs of NewDesk.
type Options struct {
	Prop    *prop.Prop
	Path    string           // of the prop file; empty for none
	Folder  string           // for unfinished checks of a prop without a file; empty keeps them in memory
	Version string           // of the program, for the record
	Now     func() time.Time // nil means time.Now
}

// A Desk is one prop with its files. Its methods are safe for concurrent use; most of
// them wait for the disk.
type Desk struct {
	opt  Options
	file string // file of unfinished checks; empty for memory only

	mu      sync.Mutex
	list    []record.UnfinishedCheck // as last read or written
	read    bool
	newest  map[key]int // number of the last save, by key
	claim   *claim
	saveErr error // why the newest answers are not on disk; nil when they are
}

// A key identifies an unfinished check; several may exist side by side.
type key struct {
	run            string
	alone, inPlace bool
	test           single.Kind
}

func keyOf(u record.UnfinishedCheck) key { return key{u.Run, u.Alone, u.InPlace, u.Test} }

// NewDesk makes the desk of a prop. It accesses no file.
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

// FileName reduces a name to letters, digits and dashes.
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

// File is the file of unfinished checks; empty when they are kept in memory only.
func (d *Desk) File() string { return d.file }

// Text is the current text of the prop file, for the record. It is empty when the file is
// missing, and when it is not of the prop on the bench: another program has changed it
// since, or figures were changed and not saved yet.
func (d *Desk) Text() string {
	if d.opt.Path == "" {
		return ""
	}
	text, err := prop.ReadFile(d.opt.Path, prop.MaxFile)
	if err != nil {
		return "" // an entry may lack it
	}
	if p, _, err := prop.Parse(text, d.opt.Path); err != nil || !reflect.DeepEqual(p, d.opt.Prop) {
		return ""
	}
	return string(text)
}

// Claim locks the prop against checks by other processes until Release. A *BusyError
// names the process that holds it. Where no lock file can be made, as in a read-only
// folder, there is no lock and no error.
func (d *Desk) Claim() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.claim != nil || d.file == "" {
		return nil
	}
	if d.opt.Path == "" {
		_ = os.MkdirAll(filepath.Dir(d.file), 0o755) // saving reports why this fails
	}
	c, err := acquire(lockPath(d.file), d.opt.Prop.Name, d.opt.Now())
	var busy *BusyError
	if errors.As(err, &busy) {
		return busy
	}
	d.claim = c
	return nil
}

// Release unlocks the prop.
func (d *Desk) Release() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.claim.release()
	d.claim = nil
}

// Kept reads the unfinished checks, oldest first.
func (d *Desk) Kept() ([]record.UnfinishedCheck, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	err := d.load()
	return slices.Clone(d.list), err
}

// load reads the file. The caller must hold mu.
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

// Find returns the unfinished check of a part and test; false when there is none.
func (d *Desk) Find(pt Part, test single.Kind) (record.UnfinishedCheck, bool, error) {
	list, err := d.Kept()
	want := record.UnfinishedCheck{Test: test}
	pt.mark(&want)
	if i := slices.IndexFunc(list, want.Same); i >= 0 {
		return list[i], true, err
	}
	return want, false, err
}

// Save stores an unfinished check and replaces the one of the same part and test.
// number increases with each save; one that arrives late is dropped.
func (d *Desk) Save(number int, u record.UnfinishedCheck) error {
	return d.change(number, u, func(list []record.UnfinishedCheck) []record.UnfinishedCheck {
		if i := slices.IndexFunc(list, u.Same); i >= 0 {
			list[i] = u
			return list
		}
		return append(list, u)
	})
}

// Forget removes the unfinished check of a part and test, unless a save with a higher
// number was made.
func (d *Desk) Forget(number int, u record.UnfinishedCheck) error {
	return d.change(number+1, u, func(list []record.UnfinishedCheck) []record.UnfinishedCheck {
		return slices.DeleteFunc(list, u.Same)
	})
}

// change applies do to the list and saves it, unless a higher number came first.
func (d *Desk) change(number int, u record.UnfinishedCheck, do func([]record.UnfinishedCheck) []record.UnfinishedCheck) (err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if number < d.newest[keyOf(u)] {
		return nil
	}
	d.newest[keyOf(u)] = number
	defer func() { d.saveErr = err }()
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

// PutAside moves the unfinished check of a part and test to a file of its own, so
// another can begin, and returns its name; empty when it had no answers.
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

// asideAt is an unused file name with a date, beside the file.
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

// WhereKept says in a sentence where the answers so far are kept.
func (d *Desk) WhereKept(u record.UnfinishedCheck) string {
	d.mu.Lock()
	failed := d.saveErr
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

// Record appends entries to a record file and returns those that failed, with the
// reason. It calls waits before it waits for another program that has locked the file.
func (d *Desk) Record(f record.File, entries []record.Entry, waits func()) (left []record.Entry, err error) {
	for i, e := range entries {
		if err := f.AppendAfter(e, waits); err != nil {
			return entries[i:], err
		}
	}
	return nil, nil
}

// stamp sets the fields that every entry has. Without a text the entry says that it is of
// other figures than those of the prop file.
func (d *Desk) stamp(e record.Entry, text string) record.Entry {
	e.Unfiled = text == "" && d.opt.Path != ""
	e.At, e.Ringout, e.Prop, e.PropFile = d.opt.Now().Truncate(time.Second), d.opt.Version, d.opt.Prop.Name, text
	return e
}
