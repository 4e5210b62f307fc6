// Package settings keeps what ringout remembers between evenings: its CID,
// which must stay the same for the life of a source (ANSI E1.31-2018 5.6),
// and the last ad-hoc set-up.
package settings

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

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

// CID reads the source's CID, or draws one from random and keeps it. When it
// can't be kept the CID is still good for this session, and err says why.
func (f Folder) CID(random io.Reader) (protocol.CID, error) {
	path := filepath.Join(string(f), "cid")
	text, err := os.ReadFile(path)
	if err == nil {
		cid, perr := protocol.ParseCID(string(trimSpace(text)))
		if perr == nil {
			return cid, nil
		}
		err = fmt.Errorf("%s holds no CID: %w; a new one is used until the file is mended or removed", path, perr)
		cid, rerr := draw(random)
		return cid, errors.Join(err, rerr)
	}
	cid, rerr := draw(random)
	if rerr != nil {
		return cid, rerr
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return cid, fmt.Errorf("the CID can't be read: %w; this session uses a new one", err)
	}
	if err := f.write("cid", []byte(cid.String()+"\n")); err != nil {
		return cid, fmt.Errorf("the CID can't be kept: %w; the next session will have another", err)
	}
	return cid, nil
}
