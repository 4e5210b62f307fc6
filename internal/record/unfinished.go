package record

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
)

// An UnfinishedCheck is a check-out or single test in progress, as kept on disk until
// its end.
type UnfinishedCheck struct {
	Log   checkout.Log `json:"log,omitzero"`
	At    time.Time    `json:"at"`            // of the last answer
	Run   string       `json:"run,omitempty"` // of the run or part
	Alone bool         `json:"alone,omitempty"`
	// InPlace distinguishes a run or part of the finished prop from a run on the bench.
	InPlace bool           `json:"in_place,omitempty"`
	Mended  []Finding      `json:"mended,omitempty"`
	Test    single.Kind    `json:"test,omitempty"`    // a single test; empty for a check-out
	Replies []single.Reply `json:"replies,omitempty"` // to it
	Print   string         `json:"print,omitempty"`   // fingerprint of the prop; see checkout.Log
}

// Answers is the number of answers.
func (u UnfinishedCheck) Answers() int {
	if u.Test != "" {
		return len(u.Replies)
	}
	return len(u.Log.Steps)
}

// Same reports whether two are of the same part and test, so one would replace the
// other.
func (u UnfinishedCheck) Same(v UnfinishedCheck) bool {
	return u.Run == v.Run && u.Alone == v.Alone && u.InPlace == v.InPlace && u.Test == v.Test
}

// unfinishedFile is the file's content. Version 1 held one check-out.
type unfinishedFile struct {
	Version int               `json:"version"`
	List    []UnfinishedCheck `json:"unfinished"` // of different parts and tests, oldest first
}

const unfinishedVersion = 2

// UnfinishedBeside is the file for unfinished checks of a prop file:
// porthole.check.json beside porthole.toml.
func UnfinishedBeside(propFile string) string {
	return strings.TrimSuffix(propFile, filepath.Ext(propFile)) + ".check.json"
}

// ReadUnfinished reads the unfinished checks of a prop; none when there is no file.
func ReadUnfinished(path string) ([]UnfinishedCheck, error) {
	text, err := prop.ReadFile(path, prop.MaxFile)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, fmt.Errorf("the unfinished check-out can't be read: %w", err)
	}
	var f struct {
		unfinishedFile
		UnfinishedCheck
	}
	if err := json.Unmarshal(text, &f); err != nil {
		return nil, fmt.Errorf("%s is not an unfinished check-out: %w; move it away to begin a new one", path, err)
	}
	switch {
	case f.Version > unfinishedVersion:
		return nil, fmt.Errorf("%s was written by a later version of this program: move it away to begin a new one", path)
	case f.Version == 0 && f.Answers() > 0:
		return []UnfinishedCheck{f.UnfinishedCheck}, nil
	}
	return f.List, nil
}

// WriteUnfinished writes the list in one step; an empty list removes the file.
func WriteUnfinished(path string, list []UnfinishedCheck) error {
	if len(list) == 0 {
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return nil
	}
	text, err := json.MarshalIndent(unfinishedFile{unfinishedVersion, list}, "", " ")
	if err != nil {
		return err
	}
	return prop.WriteFile(path, append(text, '\n'))
}
