package settings

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"example.org/ringout/internal/filelock"
	"example.org/ringout/protocol"
)

// maxComponents limits the ringouts running at once that have a persistent CID. Any
// more get a temporary one.
const maxComponents = 16

// A Component is the CID of one running ringout. Two at once are two components and
// have two CIDs (ANSI E1.31-2018 5.6: a CID is unique to a component and stays the
// same): the first has the one in the file cid, the second the one in cid-2, and so on.
type Component struct {
	CID  protocol.CID
	lock *os.File // nil for a temporary CID, or when no lock could be made
}

// Release frees the CID for the next ringout. The component must send nothing
// afterwards.
func (c *Component) Release() {
	if c != nil && c.lock != nil {
		c.lock.Close()
		c.lock = nil
	}
}

// Component takes the first CID that no running ringout uses. A missing or unreadable
// one is drawn from random and saved. The component is usable even when err is not nil:
// err then says what was replaced, or why the CID will not stay the same.
func (f Folder) Component(random io.Reader) (*Component, error) {
	for n := 1; n <= maxComponents; n++ {
		name := "cid"
		if n > 1 {
			name = fmt.Sprintf("cid-%d", n)
		}
		lock, err := f.lockFile(name + ".lock")
		if errors.Is(err, filelock.ErrHeld) {
			continue
		}
		cid, warning := f.cid(name, random)
		if err != nil && warning == nil && n == 1 {
			warning = fmt.Errorf("another ringout may send with the same CID, as %w", err)
		}
		return &Component{cid, lock}, warning
	}
	cid, err := draw(random)
	return &Component{CID: cid}, errors.Join(err, fmt.Errorf("more than %d ringouts run: this one has a CID for this time only", maxComponents))
}

// lockFile opens a lock file and locks it until it is closed. The file is not removed,
// since two processes could then lock two files of that name.
func (f Folder) lockFile(name string) (*os.File, error) {
	if f == "" {
		return nil, errors.New("there is no folder for settings")
	}
	if err := os.MkdirAll(string(f), 0o755); err != nil {
		return nil, err
	}
	file, err := os.OpenFile(f.path(name), os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, err
	}
	if err := filelock.Try(file); err != nil {
		file.Close()
		return nil, err
	}
	return file, nil
}

// cid reads the CID in a file, or draws a new one and saves it there.
func (f Folder) cid(name string, random io.Reader) (protocol.CID, error) {
	text, err := f.Read(name)
	missing := errors.Is(err, fs.ErrNotExist)
	if err == nil {
		cid, bad := protocol.ParseCID(string(bytes.TrimSpace(text)))
		if bad == nil {
			return cid, nil
		}
		err = fmt.Errorf("%s holds no CID: %w", f.path(name), bad)
	}
	cid, drawn := draw(random)
	if drawn != nil {
		return cid, drawn
	}
	if !missing {
		return cid, f.replaceUnreadable(name, cid, err)
	}
	if err := f.Write(name, []byte(cid.String()+"\n")); err != nil {
		return cid, fmt.Errorf("the CID can't be kept, so the next session will have another: %w", err)
	}
	return cid, nil
}

// replaceUnreadable renames an unreadable file and saves the new CID in its place. The error reports
// this.
func (f Folder) replaceUnreadable(name string, cid protocol.CID, why error) error {
	aside := f.path(name) + ".unreadable"
	if err := os.Rename(f.path(name), aside); err != nil {
		return fmt.Errorf("%w; this session has a new CID, and the next will have another: remove the file", why)
	}
	if err := f.Write(name, []byte(cid.String()+"\n")); err != nil {
		return fmt.Errorf("%w; it lies in %s now, and no new CID could be kept: %w", why, aside, err)
	}
	return fmt.Errorf("%w; a new CID was written, and the old file is kept as %s", why, aside)
}

func draw(random io.Reader) (protocol.CID, error) {
	var b [16]byte
	if _, err := io.ReadFull(random, b[:]); err != nil {
		return protocol.CID{}, fmt.Errorf("no random numbers for a CID: %w", err)
	}
	return protocol.NewCID(b), nil
}
