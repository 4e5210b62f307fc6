package record

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"example.org/ringout/internal/filelock"
	"example.org/ringout/internal/prop"
)

// A File is the bench record of one prop.
type File struct {
	Path string
}

// Beside returns the record file for a prop file: porthole.bench.jsonl beside
// porthole.toml.
func Beside(propFile string) File {
	stem := strings.TrimSuffix(propFile, filepath.Ext(propFile))
	return File{Path: stem + ".bench.jsonl"}
}

// maxRecord is the longest record read, in bytes: about ten thousand check-outs.
const maxRecord = 256 << 20

// A History is the content of a record file. Troubles never hide a readable entry.
type History struct {
	Entries  []Entry      `json:"entries"`
	Troubles []*LineError `json:"troubles"` // torn, edited, newer or foreign lines, in order
}

// lockWait is how long an entry may wait for the file lock: several ringouts set the time
// first and then wait for each other, so entries may be out of order by that much.
const lockWait = time.Minute

// Read reads the whole record. A missing file is an empty history. name, unless empty,
// is the prop name that the entries should have.
func (f File) Read(name string) (History, error) {
	data, err := prop.ReadFile(f.Path, maxRecord)
	if errors.Is(err, fs.ErrNotExist) {
		return parse(nil, f.Path, name), nil
	}
	if err != nil {
		return History{}, fmt.Errorf("the bench record can't be read: %w", err)
	}
	return parse(data, f.Path, name), nil
}

// parse reads the lines of a record; it always returns a History.
func parse(data []byte, path, prop string) History {
	h := History{Entries: []Entry{}, Troubles: []*LineError{}} // empty lists in JSON, not null
	prev := ""
	for n := 1; len(data) > 0; n++ {
		line, rest, whole := bytes.Cut(data, []byte("\n"))
		data = rest
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		trouble := func(err error) {
			h.Troubles = append(h.Troubles, &LineError{path, n, err.Error()})
		}
		e, err := decode(line)
		switch {
		case err == nil && !whole:
			trouble(errors.New("the last line has no end; it was read, and the next entry starts a new line"))
		case errors.Is(err, errGarbled) && !whole:
			trouble(errTorn)
			continue
		case errors.Is(err, errEdited):
			trouble(err) // the entry is still shown, since the builder may know why it was edited
		case err != nil:
			trouble(err)
			continue
		}
		if e.Schema > 1 && e.Prev != prev && !errors.Is(err, errEdited) {
			trouble(errors.New("lines before this one were removed, added or changed after ringout wrote them"))
		}
		e.Edited = errors.Is(err, errEdited)
		for _, err := range h.misplaced(e, prop) {
			trouble(err)
		}
		prev = e.Sum
		h.Entries = append(h.Entries, e)
	}
	return h
}

// misplaced lists the reasons why an entry does not belong next in a prop's record.
func (h History) misplaced(e Entry, prop string) (why []error) {
	if prop != "" && e.Prop != prop {
		why = append(why, fmt.Errorf("the entry is about the prop %q, not %q", e.Prop, prop))
	}
	if k := len(h.Entries); k > 0 && e.At.Before(h.Entries[k-1].At.Add(-lockWait)) {
		why = append(why, fmt.Errorf("the entry is dated %s, before the one above it; was the clock set back?", e.At.Format("2006-01-02 15:04")))
	}
	return why
}

// Append adds an entry and returns when it is on disk. Other ringouts that write to the
// same file wait. Existing lines are never changed: after a torn last line the entry
// starts on a new line.
//
// On an error the entry is not recorded; the caller keeps it and offers another place.
func (f File) Append(e Entry) error { return f.AppendAfter(e, func() {}) }

// AppendAfter is Append that calls waits once before it waits for another program that
// has locked the file.
func (f File) AppendAfter(e Entry, waits func()) error {
	if err := f.append(e, waits); err != nil {
		return fmt.Errorf("not recorded: %w", err)
	}
	return nil
}

func (f File) append(e Entry, waits func()) (err error) {
	st, statErr := os.Stat(f.Path)
	if statErr == nil && !st.Mode().IsRegular() {
		return fmt.Errorf("%s is not a file: move it away", f.Path)
	}
	file, err := os.OpenFile(f.Path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	if err := filelock.Lock(file, waits); err != nil {
		return fmt.Errorf("%s is held by another program: %w", f.Path, err)
	}
	defer filelock.Unlock(file)

	data, err := io.ReadAll(file)
	if err != nil {
		return err
	}
	line, err := f.next(data, e)
	if err != nil {
		return err
	}
	if err := write(file, int64(len(data)), line); err != nil {
		return err
	}
	if errors.Is(statErr, fs.ErrNotExist) {
		return prop.SyncFolder(filepath.Dir(f.Path))
	}
	return nil
}

// next is the text to write after data to add the entry.
func (f File) next(data []byte, e Entry) ([]byte, error) {
	h := parse(data, f.Path, "")
	prev := ""
	if k := len(h.Entries); k > 0 {
		prev = h.Entries[k-1].Sum
		if other := h.Entries[k-1].Prop; e.Prop != other {
			return nil, fmt.Errorf("%s belongs to the prop %q, and this entry is about %q; give the prop file another name, or move the record away", f.Path, other, e.Prop)
		}
	}
	line, _, err := encode(e, prev)
	if err != nil {
		return nil, err
	}
	if len(data) > 0 && data[len(data)-1] != '\n' {
		line = append([]byte{'\n'}, line...)
	}
	return line, nil
}

// write appends the line and flushes it to disk. After a partial write, as on a full
// disk, it truncates the file to its old size.
func write(file *os.File, size int64, line []byte) error {
	_, err := file.Write(line)
	if err == nil {
		err = file.Sync()
	}
	if err != nil {
		return errors.Join(err, file.Truncate(size))
	}
	return nil
}
