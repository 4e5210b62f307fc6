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

// maxComponents is how many ringouts at once have a CID that is kept. More get
// one for the time they run.
const maxComponents = 16

// A Component is the CID of one ringout that runs. Two at once are two
// components and have two CIDs (ANSI E1.31-2018 5.6: a CID is unique to a
// component and stays the same): the first has the one in the file cid, the
// second the one in cid-2, and so on.
type Component struct {
	CID  protocol.CID
	lock *os.File // nil when the CID is no other's anyway
}

// Release lets the next ringout have the CID. The component must send nothing
// after it.
func (c *Component) Release() {
	if c != nil && c.lock != nil {
		c.lock.Close()
		c.lock = nil
	}
}

// Component takes the first CID that no ringout which runs now has; one that is
// missing or spoilt is drawn from random and kept. The component is good even
// when err is not nil: err then says what was mended, or why the CID will not
// stay the same.
func (f Folder) Component(random io.Reader) (*Component, error) {
	for n := 1; n <= maxComponents; n++ {
		name := "cid"
		if n > 1 {
			name = fmt.Sprintf("cid-%d", n)
		}
		lock, err := f.hold(name + ".lock")
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

// hold opens a lock file and locks it until it is closed. The file stays: one
// that is removed could be locked twice.
func (f Folder) hold(name string) (*os.File, error) {
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

// cid is the CID of a file, or a new one that is kept there.
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
		return cid, f.mend(name, cid, err)
	}
	if err := f.Write(name, []byte(cid.String()+"\n")); err != nil {
		return cid, fmt.Errorf("the CID can't be kept, so the next session will have another: %w", err)
	}
	return cid, nil
}

// mend puts what cannot be read aside and keeps the new CID in its place. The
// error says so.
func (f Folder) mend(name string, cid protocol.CID, why error) error {
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
