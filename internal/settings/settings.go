// Package settings keeps what ringout remembers between evenings: its CID,
// which must stay the same for the life of a source (ANSI E1.31-2018 5.6),
// and the last ad-hoc set-up.
package settings

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"example.org/ringout/internal/prop"
	"example.org/ringout/protocol"
)

// A Folder is the folder the settings live in.
type Folder string

// Default is RINGOUT_CONFIG when set, else "ringout" in the user's config
// directory.
func Default() (Folder, error) {
	if dir := os.Getenv("RINGOUT_CONFIG"); dir != "" {
		return Folder(dir), nil
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("no folder for settings: %w; set RINGOUT_CONFIG to one", err)
	}
	return Folder(filepath.Join(dir, "ringout")), nil
}

// CID is the source's own CID: the kept one, or a new one drawn from random
// and kept. The CID is good even when err is not nil: err then says why the
// next session will have another.
func (f Folder) CID(random io.Reader) (protocol.CID, error) {
	text, err := f.Read("cid")
	if err == nil {
		cid, perr := protocol.ParseCID(string(bytes.TrimSpace(text)))
		if perr == nil {
			return cid, nil
		}
		cid, rerr := draw(random)
		return cid, errors.Join(rerr, fmt.Errorf("%s holds no CID: %w; this session uses a new one, so mend or remove the file", f.path("cid"), perr))
	}
	cid, rerr := draw(random)
	if rerr != nil {
		return cid, rerr
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return cid, fmt.Errorf("the CID can't be read: %w; this session uses a new one", err)
	}
	if err := f.Write("cid", []byte(cid.String()+"\n")); err != nil {
		return cid, fmt.Errorf("the CID can't be kept: %w; the next session will have another", err)
	}
	return cid, nil
}

func draw(random io.Reader) (protocol.CID, error) {
	var b [16]byte
	if _, err := io.ReadFull(random, b[:]); err != nil {
		return protocol.CID{}, fmt.Errorf("no random numbers for a CID: %w", err)
	}
	return protocol.NewCID(b), nil
}

func (f Folder) path(name string) string { return filepath.Join(string(f), name) }

// Read reads one settings file; fs.ErrNotExist when it was never written.
func (f Folder) Read(name string) ([]byte, error) { return os.ReadFile(f.path(name)) }

// Mark reports whether a mark was set: an empty file of that name.
func (f Folder) Mark(name string) bool {
	_, err := os.Stat(f.path(name))
	return err == nil
}

// SetMark sets a mark or takes it away.
func (f Folder) SetMark(name string, on bool) error {
	if on {
		return f.Write(name, nil)
	}
	if err := os.Remove(f.path(name)); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// Write puts a settings file on disk whole or not at all.
func (f Folder) Write(name string, data []byte) error {
	if err := os.MkdirAll(string(f), 0o755); err != nil {
		return err
	}
	return prop.WriteFile(f.path(name), data)
}
